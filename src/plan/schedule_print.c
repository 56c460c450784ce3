/* schedule_print.c - the days of a job as text. */
#include "plan_private.h"

#include <gudgeon/schedule.h>


static const char *name_of(const struct schedule_need *need)
{
    return need->purchase ? need->purchase->what
           : need->job->e.shown ? need->job->e.shown
                                : need->job->e.member;
}

static void print_needs(const struct schedule *schedule, struct str_buf *out)
{
    str_add(out, "what to buy or send first (day to act .. day in hand, for the job to finish as late as "
                 "above and no later)\n");
    for (size_t i = 0; i < schedule->needs.count; i++) {
        const struct schedule_need *need = &schedule->needs.items[i];
        str_add_print(out, "  %5.1f ..%6.1f %c %s %s%s%s%s\n", need->act.late, need->by.late,
                      need->critical ? '*' : ' ', need->job ? "send" : "buy ", name_of(need),
                      need->card ? ", for card " : "", need->card ? need->card->id : "",
                      need->unknown ? " (nobody says how long it takes)" : "");
    }
}

static void print_path(const struct schedule *schedule, struct str_buf *out)
{
    str_add(out, "what decides the finish\n");
    for (size_t i = 0; i < schedule->path.count; i++) {
        const struct schedule_link *link = &schedule->path.items[i];
        str_add_print(out, "  %5.1f ..%6.1f   %s\n", link->start, link->finish,
                      link->from == link->to && link->from ? link->from->id
                      : link->from ? str_print(out->arena, "work, from %s to %s", link->from->id,
                                               link->to->id)
                      : link->wait ? operation_words(out->arena, link->wait)
                      : link->need ? str_print(out->arena, "%s %s", name_of(link->need),
                                               link->need->job ? "is away" : "is on its way")
                                   : "");
    }
}

void schedule_print(const struct schedule *schedule, struct str_buf *out)
{
    str_add_print(out, "days from the first; by %u people side by side\n",
                  schedule->people);
    str_add_print(out, "finished on day %.1f at the earliest, %.1f at the latest", schedule->finish.early,
                  schedule->finish.late);
    if (schedule->people > 1)
        str_add_print(out, "; by one person on day %.1f to %.1f", schedule->alone.early,
                      schedule->alone.late);
    if (schedule->unknown)
        str_add_print(out, "; nobody says how long %zu purchases or jobs take", schedule->unknown);
    str_add(out, "\nwho does what (start .. finish, at the latest)\n");
    for (size_t i = 0; i < schedule->tasks.count; i++) {
        const struct schedule_task *task = &schedule->tasks.items[i];
        str_add_print(out, "  %5.1f ..%6.1f %u %s%s%s\n", task->start.late, task->finish.late,
                      task->person, task->card->id, task->bench ? ", on the bench: " : "",
                      task->bench ? task->bench->e.member : "");
    }
    print_path(schedule, out);
    print_needs(schedule, out);
}
