/* The sweep view of "plot": from a grid over the file to the candidates that are drawn. */
#ifndef POISE_COMMANDS_PLOT_SWEEP_H
#define POISE_COMMANDS_PLOT_SWEEP_H

#include "commands/command.h"
#include "plot/plot.h"

/* Evaluates the grid that the --vary options span and draws it. POISE_E_USAGE without any. */
PoiseStatus poise_plot_sweep_file(const PoiseArguments *arguments, int threads,
                                  const PoisePlotOptions *options, PoisePlotDone *done,
                                  PoiseFaults *faults);

#endif
