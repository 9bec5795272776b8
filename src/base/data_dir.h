/* Where the files that come with the program are. */
#ifndef POISE_BASE_DATA_DIR_H
#define POISE_BASE_DATA_DIR_H

/* The directory that the environment variable names (even when it is not there: a fault then names
 * what was asked for), else the directory `name` beside the executable (a build tree), else
 * ../share/poise/`name` from there (an installation that was moved), else `installed` if it exists,
 * else poise/`name` in one of $XDG_DATA_DIRS. A new string, or NULL when there is none or memory
 * ran out. */
char *poise_data_dir(const char *variable, const char *name, const char *installed);

#endif
