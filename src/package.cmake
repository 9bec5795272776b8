# The Debian package: cmake --build BUILD && (cd BUILD && cpack -G DEB).
set(POISE_MAINTAINER "poise developers <poise@localhost>" CACHE STRING "Maintainer named in the package")

set(CPACK_PACKAGE_NAME poise)
set(CPACK_PACKAGE_VENDOR "poise developers")
set(CPACK_PACKAGE_CONTACT ${POISE_MAINTAINER})
set(CPACK_PACKAGE_VERSION ${PROJECT_VERSION})
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "weight and balance of solid-body string instruments")
set(CPACK_PACKAGE_DESCRIPTION "Tells the maker of a solid-body string instrument what it will weigh and how
it will hang, before days of printing and a parts order: printed sections with
their infill and walls, a poured resin layer, wood, a neck, strings, and parts
from a library of generic ones. Every number comes with its uncertainty.
.
This package holds the program, its component library and demonstration
instruments, and the C library with its headers.")
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
  OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)

set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
# The shared libraries that are linked, found by dpkg-shlibdeps. That of the solver stands in a directory of its own
# and has no shlibs file, so its package is named here.
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_DEPENDS "lp-solve (>= 5.5)")
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON)
# For "poise plot" and its pictures.
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS "gnuplot-nox (>= 5.4) | gnuplot (>= 5.4), fonts-dejavu-core")
# For programs that link the static library.
set(CPACK_DEBIAN_PACKAGE_SUGGESTS
  "bash-completion, libcjson-dev, libgeos-dev, libzip-dev, libexpat1-dev, liblpsolve55-dev")

# What every Debian package brings under /usr/share/doc.
set(package_dir ${PROJECT_BINARY_DIR}/package)
file(READ ${PROJECT_SOURCE_DIR}/LICENSE license)
file(WRITE ${package_dir}/copyright "poise was put together from its own sources.\n\n${license}")
set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/LICENSE)
file(WRITE ${package_dir}/changelog "poise (${PROJECT_VERSION}) unstable; urgency=medium

  * What changed for users stands in CHANGELOG.md.

 -- ${POISE_MAINTAINER}  Wed, 25 Nov 2026 00:00:00 +0000
")
execute_process(COMMAND ${GZIP} -9nf ${package_dir}/changelog COMMAND_ERROR_IS_FATAL ANY)
install(FILES ${package_dir}/copyright ${package_dir}/changelog.gz
  ${PROJECT_SOURCE_DIR}/README.md ${PROJECT_SOURCE_DIR}/CHANGELOG.md
  DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/poise)

include(CPack)
