#include "doubt/budget.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/vec.h"
#include "doubt/normal.h"
#include "statics/strap.h"

/* Strap length, friction, angle and arm. */
enum { POSTURE_SOURCES = 4 };

typedef struct Slopes {
    double y[POISE_OUT_COUNT];
    double c[POISE_OUT_COUNT][POISE_IN_COUNT];
    double covariance[POISE_IN_COUNT][POISE_IN_COUNT];
    int strap_row, seat_row; /* the levers that stand for the hand loads, or -1 */
    /* Inputs that their own bound keeps from going 1.96 u both ways (a friction of 0.1 ± 0.3 is not
     * negative), and the results at the ends that are left. */
    bool cut[POISE_IN_COUNT];
    double ends[POISE_IN_COUNT][2][POISE_OUT_COUNT];
} Slopes;

const char *poise_doubt_kind_name(PoiseDoubtKind kind)
{
    static const char *const names[] = {"item",     "density", "flow",  "place",
                                        "friction", "strap",   "angle", "arm"};
    return names[kind];
}

const char *poise_budget_result_name(PoiseBudgetResult result)
{
    static const char *const names[] = {"mass_g", "margin_mm", "hand_load_g", "seat_hand_load_g"};
    return names[result];
}

void poise_source_moment(const PoiseDoubtProblem *p, const PoiseSource *source,
                         double moment_gmm[3])
{
    for (int i = 0; i < 3; i++)
        moment_gmm[i] = poise_dot(p->axes[i], source->moment_gmm);
}

/* What one standard uncertainty of a source does to the model's inputs. */
static void effect_of(const PoiseDoubtProblem *p, const PoiseSource *source,
                      double effect[POISE_IN_COUNT])
{
    double moment[3];
    poise_source_moment(p, source, moment);
    for (int i = 0; i < POISE_IN_COUNT; i++)
        effect[i] = 0.0;
    effect[POISE_IN_MASS] = source->mass_g;
    for (int i = 0; i < 3; i++)
        effect[POISE_IN_X + i] = moment[i] / p->posture.mass_g;
}

static void posture_doubts(const PoiseDoubtProblem *p, double u[POISE_IN_COUNT])
{
    for (int i = 0; i < POISE_IN_COUNT; i++)
        u[i] = 0.0;
    u[POISE_IN_FRICTION] = p->posture.has_strap ? p->friction_u : 0.0;
    u[POISE_IN_LENGTH] = p->posture.has_strap ? p->length_u : 0.0;
    u[POISE_IN_ANGLE] = p->angle_u;
    u[POISE_IN_ARM] = p->posture.has_seat && p->posture.seat.has_arm ? p->arm_u : 0.0;
}

/* Mass and centre depend on each other and are far from any bound; the rest stand alone. */
static void find_ends(const PoiseDoubtProblem *p, const PoiseInput inputs[POISE_IN_COUNT],
                      Slopes *s)
{
    double x[POISE_IN_COUNT];
    for (int i = 0; i < POISE_IN_COUNT; i++)
        x[i] = inputs[i].value;
    for (int i = 0; i < POISE_IN_COUNT; i++) {
        const PoiseInput *in = &inputs[i];
        double low = in->value - POISE_K_95 * in->u, high = in->value + POISE_K_95 * in->u;
        s->cut[i] = i > POISE_IN_Z && in->u > 0.0 && (low < in->least || high > in->most);
        if (!s->cut[i])
            continue;
        x[i] = fmax(low, in->least);
        poise_balance_model(x, s->ends[i][0], &p->posture);
        x[i] = fmin(high, in->most);
        poise_balance_model(x, s->ends[i][1], &p->posture);
        x[i] = in->value;
    }
}

static void find_slopes(const PoiseDoubtProblem *p, Slopes *s)
{
    double own[POISE_IN_COUNT];
    posture_doubts(p, own);
    for (int i = 0; i < POISE_IN_COUNT; i++)
        for (int j = 0; j < POISE_IN_COUNT; j++)
            s->covariance[i][j] = i == j ? own[i] * own[i] : 0.0;
    for (size_t k = 0; k < p->sources->count; k++) {
        double e[POISE_IN_COUNT];
        effect_of(p, &p->sources->list[k], e);
        for (int i = POISE_IN_MASS; i <= POISE_IN_Z; i++)
            for (int j = POISE_IN_MASS; j <= POISE_IN_Z; j++)
                s->covariance[i][j] += e[i] * e[j];
    }
    PoiseInput inputs[POISE_IN_COUNT];
    poise_balance_inputs(&p->posture, inputs);
    for (int i = 0; i < POISE_IN_COUNT; i++)
        inputs[i].u = sqrt(s->covariance[i][i]);
    poise_sensitivities(poise_balance_model, &p->posture, POISE_IN_COUNT, inputs, POISE_OUT_COUNT,
                        s->y, &s->c[0][0]);
    find_ends(p, inputs, s);
}

static double u_of(const Slopes *s, int out)
{
    if (out < 0 || isnan(s->y[out]))
        return (double)NAN;
    return poise_combined_u(POISE_IN_COUNT, s->c[out], &s->covariance[0][0]);
}

static PoiseInterval around(double y, double u)
{
    return (PoiseInterval){y - POISE_K_95 * u, y + POISE_K_95 * u};
}

/* The interval of a result: 1.96 u either way, but for the inputs that a bound cuts short. What
 * these do is what the result itself does at the ends that are left. */
static PoiseInterval interval_of(const Slopes *s, int out)
{
    double c[POISE_IN_COUNT], y = s->y[out], up = 0.0, down = 0.0;
    for (int i = 0; i < POISE_IN_COUNT; i++) {
        double a = s->cut[i] ? s->ends[i][0][out] - y : 0.0;
        double b = s->cut[i] ? s->ends[i][1][out] - y : 0.0;
        bool told = s->cut[i] && isfinite(a) && isfinite(b);
        c[i] = told ? 0.0 : s->c[out][i];
        if (told) {
            up = hypot(up, fmax(fmax(a, b), 0.0));
            down = hypot(down, fmax(-fmin(a, b), 0.0));
        }
    }
    double u = isnan(y) ? y : poise_combined_u(POISE_IN_COUNT, c, &s->covariance[0][0]);
    return (PoiseInterval){y - hypot(POISE_K_95 * u, down), y + hypot(POISE_K_95 * u, up)};
}

/* Where a hand load, and what it follows from, stand among the results. */
typedef struct LoadRows {
    int load, lever_lo, lever_hi, station, window_lo, window_hi;
} LoadRows;

static const LoadRows STRAP_LOAD = {POISE_OUT_LOAD,    POISE_OUT_LEVER_LO,  POISE_OUT_LEVER_HI,
                                    POISE_OUT_STATION, POISE_OUT_WINDOW_LO, POISE_OUT_WINDOW_HI};
static const LoadRows SEAT_LOAD = {POISE_OUT_SEAT_LOAD,      POISE_OUT_SEAT_LEVER_LO,
                                   POISE_OUT_SEAT_LEVER_HI,  POISE_OUT_SEAT_STATION,
                                   POISE_OUT_SEAT_WINDOW_LO, POISE_OUT_SEAT_WINDOW_HI};

/* How far the hand is headwards of either edge. On a strap it always is where there is a lever. */
static PoiseInterval strap_arms(const PoisePosture *posture, const Slopes *s)
{
    double hand = poise_turned_h(poise_turn(posture->neck_angle_deg),
                                 poise_from(posture->strap.tail, posture->hand));
    return (PoiseInterval){hand - s->y[POISE_OUT_WINDOW_LO], hand - s->y[POISE_OUT_WINDOW_HI]};
}

static PoiseInterval seat_arms(const PoisePosture *posture)
{
    double hand = poise_turned_h(poise_turn(posture->neck_angle_deg),
                                 poise_from(posture->seat.rest, posture->hand));
    double half = posture->seat.half_width_mm;
    return (PoiseInterval){hand + half, hand - half};
}

static PoiseInterval turned(PoiseInterval i, bool round)
{
    return round ? (PoiseInterval){-i.hi, -i.lo} : i;
}

/* The load follows the lever about the edge that the centre has left, and is 0 over the whole
 * window. A hand headwards of the edge lifts (positive) against a neck that dives and presses down
 * against a tail that sinks; a hand tailwards of it the other way round. */
static PoiseInterval load_interval(const Slopes *s, const LoadRows *rows, PoiseInterval arm_mm)
{
    PoiseInterval high = interval_of(s, rows->lever_hi), low = interval_of(s, rows->lever_lo);
    /* Positive where the neck dives, and where the tail sinks. */
    PoiseInterval neck = turned(high, arm_mm.hi < 0.0), tail = turned(low, arm_mm.lo > 0.0);
    if (neck.lo > 0.0)
        return high;
    if (tail.lo > 0.0)
        return low;
    if (isnan(neck.hi) || isnan(tail.hi))
        return (PoiseInterval){(double)NAN, (double)NAN};
    neck = turned((PoiseInterval){0.0, fmax(neck.hi, 0.0)}, arm_mm.hi < 0.0);
    tail = turned((PoiseInterval){0.0, fmax(tail.hi, 0.0)}, arm_mm.lo > 0.0);
    /* Adding 0 takes the sign off a negative zero. */
    return (PoiseInterval){fmin(neck.lo, tail.lo) + 0.0, fmax(neck.hi, tail.hi) + 0.0};
}

/* The smooth lever to take for the hand load; -1 when there is none: the load is 0 or its interval
 * reaches 0, where it has a corner and no slope tells how far it may be off. */
static int load_row(const Slopes *s, const LoadRows *rows, PoiseInterval interval_g)
{
    double load = s->y[rows->load];
    if (!(load < 0.0 || load > 0.0) || (interval_g.lo <= 0.0 && interval_g.hi >= 0.0))
        return -1;
    double middle = 0.5 * (s->y[rows->window_lo] + s->y[rows->window_hi]);
    return s->y[rows->station] > middle ? rows->lever_hi : rows->lever_lo;
}

static void fill_doubts(const PoiseDoubtProblem *p, Slopes *s, PoiseDoubts *d)
{
    PoiseInterval strap_g = load_interval(s, &STRAP_LOAD, strap_arms(&p->posture, s));
    PoiseInterval seat_g = load_interval(s, &SEAT_LOAD, seat_arms(&p->posture));
    s->strap_row = load_row(s, &STRAP_LOAD, strap_g);
    s->seat_row = load_row(s, &SEAT_LOAD, seat_g);
    *d = (PoiseDoubts){
        .along_mm = sqrt(s->covariance[POISE_IN_X][POISE_IN_X]),
        .station_mm = u_of(s, POISE_OUT_STATION),
        .margin_mm = u_of(s, POISE_OUT_MARGIN),
        .window_mm = {u_of(s, POISE_OUT_WINDOW_LO), u_of(s, POISE_OUT_WINDOW_HI)},
        .needed_friction = u_of(s, POISE_OUT_FRICTION),
        .hand_load_g = u_of(s, s->strap_row),
        .hold_range_deg = {u_of(s, POISE_OUT_HOLD_LO), u_of(s, POISE_OUT_HOLD_HI)},
        .settles_at_deg = u_of(s, POISE_OUT_SETTLES),
        .free_hang_deg = u_of(s, POISE_OUT_FREE_HANG),
        .lean_deg = u_of(s, POISE_OUT_LEAN),
        .seat_station_mm = u_of(s, POISE_OUT_SEAT_STATION),
        .seat_window_mm = {u_of(s, POISE_OUT_SEAT_WINDOW_LO), u_of(s, POISE_OUT_SEAT_WINDOW_HI)},
        .seat_hand_load_g = u_of(s, s->seat_row),
        .mass_95_g = around(p->posture.mass_g, sqrt(s->covariance[POISE_IN_MASS][POISE_IN_MASS])),
        .margin_95_mm = interval_of(s, POISE_OUT_MARGIN),
        .hand_load_95_g = strap_g,
        .seat_hand_load_95_g = seat_g};
}

/* --- the budget's lines --- */

typedef struct Budget {
    const PoiseDoubtProblem *problem;
    const Slopes *slopes;
    PoiseBudgetLine *lines;
    size_t count;
} Budget;

static double part(const Slopes *s, int out, const double effect[POISE_IN_COUNT])
{
    double sum = 0.0;
    if (out < 0 || isnan(s->y[out]))
        return (double)NAN;
    for (int i = 0; i < POISE_IN_COUNT; i++)
        if (effect[i] != 0.0)
            sum += s->c[out][i] * effect[i];
    return sum;
}

/* The line of this kind and name, made when it is new. Names are compared as pointers: they are the
 * instrument's own. */
static PoiseBudgetLine *line_for(Budget *b, PoiseDoubtKind kind, const char *id, size_t items)
{
    for (size_t i = 0; i < b->count; i++)
        if (b->lines[i].kind == kind && b->lines[i].id == id)
            return &b->lines[i];
    PoiseBudgetLine *line = &b->lines[b->count++];
    *line = (PoiseBudgetLine){.kind = kind, .id = id, .items = items};
    return line;
}

/* Independent sources of one line add as squares. */
static void add_effect(Budget *b, PoiseBudgetLine *line, const double effect[POISE_IN_COUNT])
{
    const Slopes *s = b->slopes;
    const double parts[POISE_BUDGET_RESULTS] = {
        effect[POISE_IN_MASS], part(s, POISE_OUT_MARGIN, effect), part(s, s->strap_row, effect),
        part(s, s->seat_row, effect)};
    for (int k = 0; k < POISE_BUDGET_RESULTS; k++)
        line->u[k] = hypot(line->u[k], parts[k]);
}

static bool is_weighed(const PoiseItem *item)
{
    return item->has_measured || (item->kind == POISE_ITEM_NECK && item->as.neck.has_measured);
}

static void add_source(Budget *b, const PoiseSource *source)
{
    const PoiseItem *item = &b->problem->instrument->items[source->item];
    PoiseDoubtKind kind = POISE_DOUBT_ITEM;
    const char *id = item->id;
    if (source->kind == POISE_SOURCE_PLACE) {
        kind = POISE_DOUBT_PLACE;
    } else if (source->kind == POISE_SOURCE_DENSITY && source->items > 1) {
        kind = POISE_DOUBT_DENSITY;
        id = b->problem->entries[source->item].material->id;
    } else if (source->kind == POISE_SOURCE_FLOW && source->items > 1) {
        kind = POISE_DOUBT_FLOW;
        id = NULL;
    }
    PoiseBudgetLine *line = line_for(b, kind, id, source->items);
    line->weighed = kind == POISE_DOUBT_ITEM && is_weighed(item);
    double effect[POISE_IN_COUNT];
    effect_of(b->problem, source, effect);
    add_effect(b, line, effect);
}

static void add_posture(Budget *b)
{
    static const PoiseDoubtKind kinds[POISE_IN_COUNT] = {[POISE_IN_FRICTION] = POISE_DOUBT_FRICTION,
                                                         [POISE_IN_LENGTH] = POISE_DOUBT_STRAP,
                                                         [POISE_IN_ANGLE] = POISE_DOUBT_ANGLE,
                                                         [POISE_IN_ARM] = POISE_DOUBT_ARM};
    double u[POISE_IN_COUNT];
    posture_doubts(b->problem, u);
    for (int i = POISE_IN_FRICTION; i < POISE_IN_COUNT; i++) {
        double effect[POISE_IN_COUNT] = {0};
        if (!(u[i] > 0.0))
            continue;
        effect[i] = u[i];
        add_effect(b, line_for(b, kinds[i], NULL, 0), effect);
    }
}

static void find_shares(Budget *b)
{
    for (int k = 0; k < POISE_BUDGET_RESULTS; k++) {
        double variance = 0.0;
        for (size_t i = 0; i < b->count; i++)
            variance += b->lines[i].u[k] * b->lines[i].u[k];
        for (size_t i = 0; i < b->count; i++)
            b->lines[i].share[k] =
                variance > 0.0 ? b->lines[i].u[k] * b->lines[i].u[k] / variance : (double)NAN;
    }
}

static int by_margin(const void *a, const void *b)
{
    const PoiseBudgetLine *x = a, *y = b;
    for (int k = POISE_BUDGET_MARGIN; k >= POISE_BUDGET_MASS; k--)
        if (x->share[k] != y->share[k] && !isnan(x->share[k]) && !isnan(y->share[k]))
            return x->share[k] < y->share[k] ? 1 : -1;
    if (x->kind != y->kind)
        return x->kind < y->kind ? -1 : 1;
    return strcmp(x->id ? x->id : "", y->id ? y->id : "");
}

size_t poise_budget_order(const PoiseBudgetLine *lines, size_t count, PoiseBudgetResult result,
                          size_t *order, size_t most)
{
    size_t n = 0;
    for (size_t i = 0; i < count; i++) {
        double share = lines[i].share[result];
        if (!(share > 0.0))
            continue;
        size_t at = n;
        while (at > 0 && lines[order[at - 1]].share[result] < share)
            at--;
        if (at == most)
            continue;
        for (size_t j = n < most ? n : most - 1; j > at; j--)
            order[j] = order[j - 1];
        order[at] = i;
        n = n < most ? n + 1 : most;
    }
    return n;
}

PoiseStatus poise_doubts(const PoiseDoubtProblem *problem, PoiseDoubts *doubts,
                         PoiseBudgetLine **lines, size_t *line_count)
{
    Slopes slopes;
    Budget budget = {.problem = problem, .slopes = &slopes};
    *lines = NULL;
    *line_count = 0;
    budget.lines =
        poise_alloc_zero(problem->sources->count + POSTURE_SOURCES, sizeof *budget.lines);
    if (!budget.lines)
        return POISE_E_MEMORY;
    find_slopes(problem, &slopes);
    fill_doubts(problem, &slopes, doubts);
    for (size_t i = 0; i < problem->sources->count; i++)
        add_source(&budget, &problem->sources->list[i]);
    add_posture(&budget);
    find_shares(&budget);
    qsort(budget.lines, budget.count, sizeof *budget.lines, by_margin);
    *lines = budget.lines;
    *line_count = budget.count;
    return POISE_OK;
}
