#include "plot/deliver.h"

#include <string.h>
#include <strings.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"
#include "plot/glyphs.h"

/* In the directory of one picture. */
static const char STEM[] = "picture", SCRIPT[] = "picture.gp", TABLE[] = "picture.dat";

static const char *const ENDINGS[] = {"svg", "png", "pdf"};

bool poise_plot_format_of(const char *out, PoisePictureFormat *format)
{
    *format = POISE_PICTURE_SVG;
    if (strcmp(out, "-") == 0)
        return true;
    const char *dot = strrchr(out, '.');
    for (int i = 0; dot && !strchr(dot, '/') && i < 3; i++)
        if (strcasecmp(dot + 1, ENDINGS[i]) == 0) {
            *format = (PoisePictureFormat)i;
            return true;
        }
    return false;
}

char *poise_plot_stem(const char *out)
{
    const char *slash = strrchr(out, '/'), *name = slash ? slash + 1 : out;
    const char *dot = strrchr(name, '.');
    size_t n = dot && dot > name ? (size_t)(dot - name) : strlen(name);
    char *stem = n ? poise_copy_text_n(name, n) : poise_copy_text(STEM);
    for (char *c = stem; c && *c; c++) {
        unsigned char u = (unsigned char)*c;
        bool plain = (u >= '0' && u <= '9') || (u >= 'a' && u <= 'z') || (u >= 'A' && u <= 'Z') ||
                     u >= 0x80 || u == '_' || (c > stem && (u == '-' || u == '.'));
        if (!plain)
            *c = '_';
    }
    return stem;
}

/* The whole script. `stem` and `terminal` are ours or went through poise_plot_stem(). */
static char *compose(const PoiseSheet *sheet, const char *view, const char *stem,
                     const char *terminal, const char *ending, const char *body)
{
    PoiseText text = {0};
    poise_text_printf(&text,
                      "# The %s view, made by poise. \"gnuplot %s.gp\" draws it again from %s.dat\n"
                      "# in the same directory; change what you like.\n"
                      "DATA = '%s.dat'\nOUTPUT = '%s.%s'\nTERMINAL = '%s'\n",
                      view, stem, stem, stem, stem, ending, terminal);
    const struct {
        const char *name;
        double value;
    } page[] = {
        {"WIDTH", POISE_SHEET_WIDTH_PX}, {"HEIGHT", sheet->height_px}, {"LEFT", sheet->left_px},
        {"RIGHT", sheet->right_px},      {"TOP", sheet->top_px},       {"BOTTOM", sheet->bottom_px},
        {"XLO", sheet->lo[0]},           {"XHI", sheet->hi[0]},        {"YLO", sheet->lo[1]},
        {"YHI", sheet->hi[1]},           {"TITLE_PX", POISE_TITLE_PX}, {"TEXT_PX", POISE_TEXT_PX},
        {"SMALL_PX", POISE_SMALL_PX},
    };
    for (size_t i = 0; i < sizeof page / sizeof *page; i++)
        poise_plot_assign(&text, page[i].name, page[i].value);
    poise_text_append(&text, sheet->settings.data ? sheet->settings.data : "");
    poise_text_append(&text, body);
    return poise_text_take(&text);
}

static PoiseStatus write_text(const char *dir, const char *name, const char *text,
                              PoiseFaults *faults)
{
    char *path = text ? poise_path_join(dir, name) : NULL;
    PoiseStatus status =
        path ? poise_file_write(path, text, strlen(text), faults) : poise_fault_memory(faults);
    poise_release(path);
    return status;
}

/* Writes script and table into the place and runs gnuplot there. */
static PoiseStatus draw(const PoiseSheet *sheet, const char *view, const PoisePlotPlace *place,
                        const char *terminal, const char *ending, const char *body, char **said,
                        PoiseFaults *faults)
{
    char *script = compose(sheet, view, STEM, terminal, ending, body);
    PoiseStatus status = write_text(place->dir, TABLE, sheet->data.data, faults);
    if (!status)
        status = write_text(place->dir, SCRIPT, script, faults);
    poise_release(script);
    return status ? status
                  : poise_plot_gnuplot(place, SCRIPT, strcmp(ending, "none") == 0, said, faults);
}

/* Carries the finished picture to where it was asked for. */
static PoiseStatus fetch(const PoisePlotPlace *place, const char *picture, const char *out,
                         const char *said, PoiseFaults *faults)
{
    char *path = poise_path_join(place->dir, picture), *data = NULL;
    size_t size = 0;
    PoiseStatus status = path ? poise_file_read(path, POISE_PLOT_PICTURE_BYTES, &data, &size, NULL)
                              : poise_fault_memory(faults);
    if (!path)
        return status;
    if (status == POISE_E_MEMORY)
        poise_fault_memory(faults);
    else if (status || size == 0)
        status = poise_fault_say(faults, POISE_E_IO, NULL, "gnuplot drew nothing: %s",
                                 said ? said : "it gave no reason");
    else
        status = poise_file_write(out, data, size, faults);
    poise_release(path);
    poise_release(data);
    return status;
}

/* The table and a script of its own beside the picture. */
static PoiseStatus leave_data(const PoiseSheet *sheet, const char *view, const char *out,
                              const char *ending, const char *terminal, const char *body,
                              PoisePlotDone *done, PoiseFaults *faults)
{
    char *dir = poise_path_dir(out), *stem = poise_plot_stem(out);
    char *script = stem ? compose(sheet, view, stem, terminal, ending, body) : NULL;
    char *script_name = stem ? poise_format("%s.gp", stem) : NULL;
    char *table_name = stem ? poise_format("%s.dat", stem) : NULL;
    PoiseStatus status = POISE_E_MEMORY;
    if (dir && script && script_name && table_name) {
        done->script = poise_path_join(dir, script_name);
        done->table = poise_path_join(dir, table_name);
        status = done->script && done->table ? POISE_OK : POISE_E_MEMORY;
    }
    if (status)
        poise_fault_memory(faults);
    else
        status = write_text(".", done->table, sheet->data.data, faults);
    if (!status)
        status = write_text(".", done->script, script, faults);
    poise_release(dir);
    poise_release(stem);
    poise_release(script);
    poise_release(script_name);
    poise_release(table_name);
    return status;
}

static PoiseStatus to_file(const PoiseSheet *sheet, const char *view,
                           const PoisePlotOptions *options, PoisePictureFormat format,
                           const char *body, PoisePlotDone *done, PoiseFaults *faults)
{
    const char *ending = ENDINGS[format];
    char *picture = poise_format("%s.%s", STEM, ending);
    if (!picture)
        return poise_fault_memory(faults);
    const char *const names[] = {SCRIPT, TABLE, picture, NULL};
    PoisePlotPlace place = {0};
    PoiseStatus status = poise_plot_place_make(&place, faults);
    if (!status)
        status = draw(sheet, view, &place, ending, ending, body, &done->remarks, faults);
    if (!status)
        status = fetch(&place, picture, options->out, done->remarks, faults);
    if (!status && options->data)
        status = leave_data(sheet, view, options->out, ending, ending, body, done, faults);
    poise_plot_place_remove(&place, names);
    poise_release(picture);
    return status;
}

static PoiseStatus to_window(const PoiseSheet *sheet, const char *view, const char *body,
                             PoisePlotDone *done, PoiseFaults *faults)
{
    static const char *const names[] = {SCRIPT, TABLE, NULL};
    const char *terminal;
    if (!poise_plot_window_terminal(&terminal))
        return poise_fault_say(faults, POISE_E_IO, NULL,
                               "this gnuplot cannot open a window; name a file with -o");
    PoisePlotPlace place = {0};
    PoiseStatus status = poise_plot_place_make(&place, faults);
    if (!status)
        status = draw(sheet, view, &place, terminal, "none", body, &done->remarks, faults);
    poise_plot_place_remove(&place, names);
    return status;
}

PoiseStatus poise_plot_deliver(const PoiseSheet *sheet, const char *view,
                               const PoisePlotOptions *options, PoisePlotDone *done,
                               PoiseFaults *faults)
{
    PoisePictureFormat format = POISE_PICTURE_WINDOW;
    if (options->out && !poise_plot_format_of(options->out, &format))
        return poise_plot_check_name(options->out, faults);
    if (options->data && (!options->out || strcmp(options->out, "-") == 0))
        return poise_fault_say(faults, POISE_E_USAGE, NULL,
                               "data and script are written beside a picture: name one");
    char *body = NULL;
    PoiseSheet drawn = *sheet;
    drawn.data = (PoiseText){0};
    if (format == POISE_PICTURE_SVG) /* whoever looks at it has fonts of their own */
        poise_text_append(&drawn.data, sheet->data.data);
    else
        poise_plot_spell_out(sheet->data.data, poise_plot_fonts_have, &drawn.data);
    PoiseStatus status =
        drawn.data.failed ? poise_fault_memory(faults) : poise_plot_script(view, &body, faults);
    if (!status)
        status = options->out ? to_file(&drawn, view, options, format, body, done, faults)
                              : to_window(&drawn, view, body, done, faults);
    poise_release(body);
    poise_text_clear(&drawn.data);
    return status;
}

PoiseStatus poise_plot_check_name(const char *out, PoiseFaults *faults)
{
    PoisePictureFormat format;
    if (poise_plot_format_of(out, &format))
        return POISE_OK;
    return poise_fault_say(faults, POISE_E_USAGE, out,
                           "a picture's name must end in .svg, .png or .pdf");
}

bool poise_plot_has_window(void)
{
    const char *terminal;
    return poise_plot_window_terminal(&terminal);
}
