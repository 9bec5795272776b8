/* STL, ASCII and binary: the input is the file. */
#include "mesh_target.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mesh_target(data, size, NULL);
    return 0;
}
