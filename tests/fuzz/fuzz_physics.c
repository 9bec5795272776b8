/* Whole instruments made from bytes. What must hold for every one of them, whatever it looks like:
 *
 *   - moving the drawing's origin, or mirroring it for the other hand, changes nothing
 *   - the whole is the sum of two halves, and of its items
 *   - the holding window lies between the posts
 *   - the hand load balances the moments about the window's edge
 *   - the ballast that is said to be enough brings the centre to that edge
 *   - at the angle it settles at, it holds */
#include "design.h"
#include "input/reader.h"
#include "poise/poise.h"

static PoiseShelf shelf;

typedef struct Weighed {
    PoiseStatus status;
    PoiseInstrument *instrument;
    PoiseWeighing *w; /* NULL: refused */
} Weighed;

static Weighed weigh(const Design *d, const View *v)
{
    const PoiseWeighOptions options = {.threads = 1, .no_cache = true};
    Weighed out = {0};
    PoiseFaults *faults = poise_faults_new();
    char *text = design_file(d, v);
    PoiseDocument *document = NULL;
    REQUIRE(faults && text);
    out.status = poise_document_parse(text, strlen(text), "made.json", &document, faults);
    REQUIRE(out.status == POISE_OK);
    out.status = poise_instrument_from_document(document, NULL, NULL, "/nowhere", &shelf,
                                                &out.instrument, faults);
    if (!out.status)
        out.status = poise_weigh(out.instrument, &options, &out.w, faults);
    REQUIRE(out.status != POISE_E_INTERNAL);
    poise_document_free(document);
    poise_string_free(text);
    poise_faults_free(faults);
    return out;
}

static void release(Weighed *one)
{
    poise_weighing_free(one->w);
    poise_instrument_free(one->instrument);
}

/* Millimetres that rounding may move a place: coordinates reach some 1e3 mm (moved: 1e4), masses
 * 1e4 g; about a thousand roundings of 1e4 × 1.1e-16. */
static const double PLACE_MM = 1e-8;
/* Near the ends of the strap the window is as steep as a square root in the place of the posts:
 * the root of PLACE_MM over their distance. */
static const double WINDOW_MM = 1e-5;

static void same_balance(const PoiseWeighing *a, const PoiseWeighing *b)
{
    REQUIRE(a->has_strap == b->has_strap && a->has_seat == b->has_seat);
    if (a->has_strap) {
        const PoiseHanging *p = &a->hanging, *q = &b->hanging;
        REQUIRE_NEAR(p->station_mm, q->station_mm, PLACE_MM);
        REQUIRE_NEAR(p->window_mm.lo, q->window_mm.lo, WINDOW_MM);
        REQUIRE_NEAR(p->window_mm.hi, q->window_mm.hi, WINDOW_MM);
        REQUIRE(p->has_verdict == q->has_verdict);
        bool at_edge = fabs(p->margin_mm) < 2 * WINDOW_MM ||
                       fabs(p->station_mm - p->window_mm.lo) < 2 * WINDOW_MM;
        if (p->has_verdict && !at_edge)
            REQUIRE(p->verdict == q->verdict);
    }
    if (a->has_seat) {
        double from_post_a = a->resting.horizontal_mm - a->tail_h_mm;
        REQUIRE_NEAR(from_post_a, b->resting.horizontal_mm - b->tail_h_mm, PLACE_MM);
    }
}

static void mirrored(const PoiseWeighing *a, const PoiseWeighing *b)
{
    double mass = a->total.mass_g;
    REQUIRE_NEAR(b->total.mass_g, mass, 1e-12 * mass);
    for (int i = 0; i < 3; i++)
        REQUIRE_NEAR((i == 1 ? -1 : 1) * b->total.centre_mm[i], a->total.centre_mm[i], PLACE_MM);
    same_balance(a, b);
}

static void moved(const PoiseWeighing *a, const PoiseWeighing *b, const double shift[3])
{
    double mass = a->total.mass_g;
    REQUIRE_NEAR(b->total.mass_g, mass, 1e-12 * mass);
    for (int i = 0; i < 3; i++) {
        REQUIRE_NEAR(b->total.centre_mm[i] - shift[i], a->total.centre_mm[i], PLACE_MM);
        for (int k = 0; k < 3; k++) /* 1e6 mm²: the square of an instrument's length */
            REQUIRE_NEAR(b->total.inertia_gmm2[i][k], a->total.inertia_gmm2[i][k],
                         1e-9 * mass * 1e6);
    }
    same_balance(a, b);
}

static void adds_up(const PoiseBody *whole, const PoiseBody *sum)
{
    REQUIRE_NEAR(sum->mass_g, whole->mass_g, 1e-12 * whole->mass_g);
    for (int i = 0; i < 3; i++) {
        REQUIRE_NEAR(sum->centre_mm[i], whole->centre_mm[i], PLACE_MM);
        for (int k = 0; k < 3; k++)
            REQUIRE_NEAR(sum->inertia_gmm2[i][k], whole->inertia_gmm2[i][k],
                         1e-9 * whole->mass_g * 1e6);
    }
}

static void halves_add_up(const Design *d, const PoiseWeighing *w, unsigned mask)
{
    Weighed one = weigh(d, &(View){.items = mask}), other = weigh(d, &(View){.items = ~mask});
    if (one.w && other.w) {
        /* A kind that stands only once may stand in each half. */
        PoiseBody sum = poise_body_add(&one.w->total, &other.w->total);
        if (one.w->item_count + other.w->item_count == w->item_count)
            adds_up(&w->total, &sum);
    }
    release(&one);
    release(&other);
}

static void items_add_up(const PoiseWeighing *w)
{
    PoiseBody bodies[DESIGN_ITEMS + 1];
    REQUIRE(w->item_count <= DESIGN_ITEMS + 1);
    for (size_t i = 0; i < w->item_count; i++) {
        bodies[i] = w->items[i].body;
        REQUIRE(bodies[i].mass_g >= 0.0);
        for (int k = 0; k < 3; k++)
            REQUIRE(bodies[i].inertia_gmm2[k][k] >= -1e-9 * bodies[i].mass_g * 1e6);
    }
    PoiseBody sum = poise_body_sum(bodies, w->item_count);
    adds_up(&w->total, &sum);
}

/* The hand lifts with F at h_n: what is left, M − F, balances at the edge. */
static void hand_balances(const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    if (!h->has_verdict || h->verdict == POISE_HOLDS || isnan(h->hand_load_g))
        return;
    double edge = h->verdict == POISE_NECK_HEAVY ? h->window_mm.hi : h->window_mm.lo;
    double hand = poise_horizontal_mm(w->hand, w->neck_angle_deg) -
                  poise_horizontal_mm(w->strap.tail, w->neck_angle_deg);
    double mass = w->total.mass_g;
    REQUIRE((h->hand_load_g > 0.0) == (h->verdict == POISE_NECK_HEAVY));
    REQUIRE_NEAR(h->hand_load_g * (hand - edge), mass * (h->station_mm - edge), mass * WINDOW_MM);
}

static void window_is_between_posts(const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    double posts = poise_horizontal_mm(w->strap.horn, w->neck_angle_deg) -
                   poise_horizontal_mm(w->strap.tail, w->neck_angle_deg);
    REQUIRE(h->has_verdict == !isnan(h->window_mm.lo));
    if (!h->has_verdict)
        return;
    REQUIRE(h->window_mm.lo <= h->window_mm.hi);
    REQUIRE(h->window_mm.lo >= -PLACE_MM && h->window_mm.hi <= posts + PLACE_MM);
}

static void settles_where_it_holds(const PoiseWeighing *w)
{
    double angle = w->hanging.settles_at_deg;
    if (isnan(angle))
        return;
    PoiseInterval window;
    REQUIRE(angle >= -90.0 && angle <= 90.0);
    bool has_window = poise_strap_window(&w->strap, angle, &window) == POISE_OK;
    REQUIRE(has_window);
    double station =
        poise_horizontal_mm(w->centre, angle) - poise_horizontal_mm(w->strap.tail, angle);
    /* a hundredth of a millimetre: some 1e-3 degrees over a lever of a metre */
    REQUIRE(station >= window.lo - 0.01 && station <= window.hi + 0.01);
}

static void ballast_is_enough(const Design *d, const PoiseWeighing *w, const double at[3])
{
    const PoiseHanging *h = &w->hanging;
    if (!h->has_verdict || h->verdict == POISE_HOLDS)
        return;
    PoisePoint p = {at[0], at[1]};
    double q = poise_horizontal_mm(p, w->neck_angle_deg) -
               poise_horizontal_mm(w->strap.tail, w->neck_angle_deg);
    double mass;
    if (poise_ballast_needed(w->total.mass_g, h->station_mm, h->window_mm, q, &mass) != POISE_OK ||
        mass > 1e5) /* more than an instrument ever weighs: only rounding would be seen */
        return;
    REQUIRE(mass > 0.0);
    Design with = *d;
    with.ballast = mass;
    memcpy(with.ballast_at, at, sizeof with.ballast_at);
    Weighed after = weigh(&with, &(View){.items = ~0u});
    REQUIRE(after.w != NULL);
    const PoiseHanging *now = &after.w->hanging;
    double edge = h->verdict == POISE_NECK_HEAVY ? now->window_mm.hi : now->window_mm.lo;
    REQUIRE_NEAR(now->station_mm, edge, 1e-6);
    release(&after);
}

static void check(const Design *d, FuzzBytes *b)
{
    Weighed plain = weigh(d, &(View){.items = ~0u});
    View mirror = {.mirror = true, .items = ~0u}, move = {.items = ~0u};
    design_point(b, 2000.0, move.shift);
    Weighed left = weigh(d, &mirror), away = weigh(d, &move);
    REQUIRE(left.status == plain.status && away.status == plain.status);
    if (plain.w) {
        const PoiseWeighing *w = plain.w;
        mirrored(w, left.w);
        moved(w, away.w, move.shift);
        items_add_up(w);
        halves_add_up(d, w, fuzz_byte(b));
        if (w->has_strap) {
            double at[3];
            design_point(b, 600.0, at);
            window_is_between_posts(w);
            hand_balances(w);
            settles_where_it_holds(w);
            ballast_is_enough(d, w, at);
        }
    }
    release(&plain);
    release(&left);
    release(&away);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (!shelf.library) {
        PoiseFaults *faults = poise_faults_new();
        REQUIRE(poise_shelf_read(POISE_FUZZ_COMPONENTS, &shelf, faults) == POISE_OK);
        poise_faults_free(faults);
    }
    FuzzBytes bytes = {data, size};
    Design design = design_from(&bytes);
    check(&design, &bytes);
    return 0;
}
