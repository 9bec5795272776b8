/* 3MF. An input that begins as a zip archive does is the file; any other is the text of a model
 * part, which is put into an archive here, since a fuzzer seldom finds a packed text that unpacks.
 */
#include <zip.h>

#include "mesh_target.h"

static const char RELATIONSHIPS[] =
    "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">"
    "<Relationship Target=\"/3D/3dmodel.model\" Id=\"r\" "
    "Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/></Relationships>";

static void add(zip_t *archive, const char *name, const void *data, size_t size)
{
    zip_source_t *source = zip_source_buffer(archive, data, size, 0);
    REQUIRE(source != NULL);
    REQUIRE(zip_file_add(archive, name, source, ZIP_FL_ENC_UTF_8) >= 0);
    REQUIRE(zip_set_file_compression(archive, (zip_uint64_t)zip_get_num_entries(archive, 0) - 1,
                                     ZIP_CM_STORE, 0) == 0);
}

static void as_model_part(const uint8_t *data, size_t size)
{
    zip_error_t error;
    zip_source_t *target = zip_source_buffer_create(NULL, 0, 0, &error);
    REQUIRE(target != NULL);
    zip_source_keep(target);
    zip_t *archive = zip_open_from_source(target, ZIP_TRUNCATE, &error);
    REQUIRE(archive != NULL);
    add(archive, "_rels/.rels", RELATIONSHIPS, sizeof RELATIONSHIPS - 1);
    add(archive, "3D/3dmodel.model", data, size);
    REQUIRE(zip_close(archive) == 0);
    zip_stat_t st;
    REQUIRE(zip_source_stat(target, &st) == 0 && zip_source_open(target) == 0);
    uint8_t *packed = malloc(st.size);
    REQUIRE(packed && zip_source_read(target, packed, st.size) == (zip_int64_t)st.size);
    zip_source_close(target);
    zip_source_free(target);
    mesh_target(packed, st.size, NULL);
    free(packed);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size >= 2 && memcmp(data, "PK", 2) == 0)
        mesh_target(data, size, NULL);
    else
        as_model_part(data, size);
    return 0;
}
