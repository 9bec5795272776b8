# The explorer's engine: our own C for the browser. It takes clang with its linker for WebAssembly and a C library for
# it; without them the program is built all the same, and its build sheets have no explorer.
find_program(POISE_WASM_CLANG NAMES clang-14 clang clang-15 clang-16 clang-19)
find_program(POISE_WASM_LINKER NAMES wasm-ld-14 wasm-ld wasm-ld-15 wasm-ld-16 wasm-ld-19)
set(wasm_sources report/engine.c report/engine_wasm.c bodies/printed_fill.c doubt/balance.c weigh/frame.c output/words.c
  base/vec.c base/text.c base/memory.c base/faults.c statics/ballast.c statics/hang.c statics/hold.c statics/free_hang.c statics/lean.c
  statics/plane.c statics/range.c statics/root.c statics/seat.c statics/strap.c statics/window.c)
list(TRANSFORM wasm_sources PREPEND ${CMAKE_CURRENT_SOURCE_DIR}/)
set(wasm_command ${POISE_WASM_CLANG} --target=wasm32-wasi -std=c17 -O2 -D_DEFAULT_SOURCE -D_POSIX_C_SOURCE=200809L -ffp-contract=off -nostartfiles
  -Wall -Wextra -Werror -Wl,--no-entry -Wl,--gc-sections -Wl,--strip-all
  -I${PROJECT_SOURCE_DIR}/include -I${CMAKE_CURRENT_SOURCE_DIR})
set(explorer_ready NO)
set(packed_wasm "") # not what an earlier build may have left
if(POISE_WASM_CLANG AND POISE_WASM_LINKER)
  file(WRITE ${CMAKE_CURRENT_BINARY_DIR}/wasm-probe.c
    "#include <math.h>\n#include <stdio.h>\nint main_(char *t, double x);\n"
    "__attribute__((export_name(\"probe\"))) int main_(char *t, double x) { return snprintf(t, 9, \"%g\", sin(x)); }\n")
  execute_process(COMMAND ${wasm_command} ${CMAKE_CURRENT_BINARY_DIR}/wasm-probe.c
    -o ${CMAKE_CURRENT_BINARY_DIR}/wasm-probe.wasm RESULT_VARIABLE wasm_fails OUTPUT_QUIET ERROR_QUIET)
  if(wasm_fails EQUAL 0)
    set(explorer_ready YES)
  endif()
endif()
# For tests/.
set(explorer_in_sheets ${explorer_ready} PARENT_SCOPE)
if(explorer_ready)
  file(GLOB wasm_headers CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/include/poise/*.h ${CMAKE_CURRENT_SOURCE_DIR}/*/*.h)
  add_custom_command(OUTPUT ${explorer_wasm} COMMAND ${wasm_command} ${wasm_sources} -o ${explorer_wasm}
    DEPENDS ${wasm_sources} ${wasm_headers} COMMENT "Compiling the explorer's engine to WebAssembly" VERBATIM)
  list(APPEND report_files ${explorer_wasm})
  set(packed_wasm ${explorer_wasm})
  message(STATUS "Build sheets: with the explorer")
else()
  message(STATUS "Build sheets: without the explorer (install clang, lld, wasi-libc and libclang-rt-14-dev-wasm32)")
endif()
