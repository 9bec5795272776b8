#include "geometry/parallel.h"

#include <pthread.h>
#include <stdatomic.h>
#include <unistd.h>

/* More threads than this only wait for memory. */
#define MAX_THREADS 64

typedef struct Loop {
    PoiseRound run;
    void *context;
    size_t rounds;
    atomic_size_t next, done;
    atomic_int stopped;
    pthread_mutex_t lock; /* guards the two below */
    size_t failed_round;
    PoiseStatus status;
    const PoiseProgress *progress;
} Loop;

typedef struct Worker {
    Loop *loop;
    size_t index;
    pthread_t thread;
} Worker;

size_t poise_thread_count(int wanted)
{
    long n = wanted > 0 ? wanted : sysconf(_SC_NPROCESSORS_ONLN);
    if (n < 1)
        return 1;
    return n > MAX_THREADS ? MAX_THREADS : (size_t)n;
}

static void note_failure(Loop *loop, size_t round, PoiseStatus status)
{
    atomic_store(&loop->stopped, 1);
    pthread_mutex_lock(&loop->lock);
    if (loop->status == POISE_OK || round < loop->failed_round) {
        loop->status = status;
        loop->failed_round = round;
    }
    pthread_mutex_unlock(&loop->lock);
}

static void tell(const Loop *loop, size_t done)
{
    const PoiseProgress *p = loop->progress;
    if (p && p->report)
        p->report(p->from + (p->to - p->from) * ((double)done / (double)loop->rounds), p->context);
}

static void *work(void *argument)
{
    Worker *worker = argument;
    Loop *loop = worker->loop;
    while (!atomic_load(&loop->stopped)) {
        size_t round = atomic_fetch_add(&loop->next, 1);
        if (round >= loop->rounds)
            break;
        PoiseStatus status = loop->run(loop->context, worker->index, round);
        if (status)
            note_failure(loop, round, status);
        size_t done = atomic_fetch_add(&loop->done, 1) + 1;
        if (worker->index == 0)
            tell(loop, done);
    }
    return NULL;
}

PoiseStatus poise_parallel(size_t threads, size_t rounds, PoiseRound run, void *context,
                           const PoiseProgress *progress)
{
    if (rounds == 0)
        return POISE_OK;
    Loop loop = {.run = run, .context = context, .rounds = rounds, .progress = progress};
    if (pthread_mutex_init(&loop.lock, NULL) != 0)
        return POISE_E_MEMORY;
    if (threads > rounds)
        threads = rounds;
    if (threads > MAX_THREADS)
        threads = MAX_THREADS;
    Worker workers[MAX_THREADS];
    size_t started = 1;
    workers[0] = (Worker){.loop = &loop, .index = 0};
    for (size_t i = 1; i < threads; i++) {
        workers[i] = (Worker){.loop = &loop, .index = i};
        if (pthread_create(&workers[i].thread, NULL, work, &workers[i]) != 0)
            break;
        started++;
    }
    work(&workers[0]);
    for (size_t i = 1; i < started; i++)
        pthread_join(workers[i].thread, NULL);
    pthread_mutex_destroy(&loop.lock);
    return loop.status;
}
