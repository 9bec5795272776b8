#include "decide/milp.h"

#include <lpsolve/lp_lib.h>
#include <math.h>

#include "base/memory.h"

struct PoiseMilp {
    lprec *lp;
    size_t columns;
    int *numbers; /* scratch: column numbers of a row, from 1 */
    double *values;
};

PoiseMilp *poise_milp_new(size_t columns)
{
    PoiseMilp *m = poise_alloc_zero(1, sizeof *m);
    if (!m)
        return NULL;
    m->columns = columns;
    m->numbers = poise_alloc_zero(columns + 1, sizeof *m->numbers);
    m->values = poise_alloc_zero(columns + 1, sizeof *m->values);
    m->lp = m->numbers && m->values ? make_lp(0, (int)columns) : NULL;
    if (!m->lp) {
        poise_milp_free(m);
        return NULL;
    }
    set_verbose(m->lp, NEUTRAL);
    set_minim(m->lp);
    set_timeout(m->lp, POISE_MILP_SECONDS);
    set_mip_gap(m->lp, TRUE, POISE_MILP_GAP);
    set_mip_gap(m->lp, FALSE, POISE_MILP_GAP_RELATIVE);
    return m;
}

void poise_milp_free(PoiseMilp *m)
{
    if (!m)
        return;
    if (m->lp)
        delete_lp(m->lp);
    poise_release(m->numbers);
    poise_release(m->values);
    poise_release(m);
}

bool poise_milp_column(PoiseMilp *m, size_t column, double lo, double hi, bool whole)
{
    int number = (int)column + 1;
    double infinite = get_infinite(m->lp);
    return set_bounds(m->lp, number, isinf(lo) ? -infinite : lo, isinf(hi) ? infinite : hi) &&
           set_int(m->lp, number, whole ? TRUE : FALSE);
}

/* Grams stand beside gram-millimetres: each row is divided by its largest coefficient, so that the
 * solver's one tolerance means the same in all. */
static bool add_row(PoiseMilp *m, size_t count, const size_t *columns, const double *values,
                    int type, double right)
{
    double largest = 0.0;
    for (size_t i = 0; i < count; i++)
        largest = fmax(largest, fabs(values[i]));
    if (!(largest > 0.0))
        largest = 1.0;
    for (size_t i = 0; i < count; i++) {
        m->numbers[i] = (int)columns[i] + 1;
        m->values[i] = values[i] / largest;
    }
    return add_constraintex(m->lp, (int)count, m->values, m->numbers, type, right / largest);
}

bool poise_milp_at_most(PoiseMilp *m, size_t count, const size_t *columns, const double *values,
                        double limit)
{
    return add_row(m, count, columns, values, LE, limit);
}

bool poise_milp_equal(PoiseMilp *m, size_t count, const size_t *columns, const double *values,
                      double value)
{
    return add_row(m, count, columns, values, EQ, value);
}

static PoiseStatus status_of(int result, PoiseMilpAnswer *answer)
{
    switch (result) {
    case OPTIMAL:
    case PRESOLVED:
        return POISE_OK;
    case SUBOPTIMAL:
        answer->proved = false;
        return POISE_OK;
    case TIMEOUT:
        answer->proved = false;
        return POISE_E_DOMAIN;
    case INFEASIBLE:
    case UNBOUNDED:
        return POISE_E_DOMAIN;
    case NOMEMORY:
        return POISE_E_MEMORY;
    default:
        return POISE_E_INTERNAL;
    }
}

PoiseStatus poise_milp_minimise(PoiseMilp *m, const double *objective, double *x,
                                PoiseMilpAnswer *answer)
{
    *answer = (PoiseMilpAnswer){.value = (double)NAN, .proved = true};
    for (size_t i = 0; i < m->columns; i++) {
        m->numbers[i] = (int)i + 1;
        m->values[i] = objective[i];
    }
    if (!set_obj_fnex(m->lp, (int)m->columns, m->values, m->numbers))
        return POISE_E_MEMORY;
    default_basis(m->lp); /* the answer must not depend on what was solved before */
    PoiseStatus status = status_of(solve(m->lp), answer);
    if (status)
        return status;
    if (!get_variables(m->lp, x))
        return POISE_E_INTERNAL;
    answer->value = 0.0;
    for (size_t i = 0; i < m->columns; i++) {
        /* Without rows the solver calls an endless column's end an optimum. */
        if (fabs(x[i]) >= get_infinite(m->lp))
            return POISE_E_DOMAIN;
        answer->value += objective[i] * x[i];
    }
    return POISE_OK;
}
