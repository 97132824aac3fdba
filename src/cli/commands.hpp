#pragma once
/// The commands, by group; each group is a file of its own.

#include "cli/command.hpp"

namespace steelyard::cli {

extern const Command k_ingest, k_export, k_erase, k_undo;  // files.cpp
extern const Command k_check;                              // check.cpp
extern const Command k_log;                                // log.cpp
extern const Command k_today, k_compare, k_week, k_why;    // answers.cpp
extern const Command k_ahead;                              // ahead.cpp
extern const Command k_strength, k_marks, k_learn;         // learn.cpp
extern const Command k_loads;                              // loads.cpp
extern const Command k_questions, k_decide;                // decisions.cpp
extern const Command k_athlete, k_max, k_off;              // people.cpp
extern const Command k_plan;                               // plan.cpp
extern const Command k_report;                             // report.cpp
extern const Command k_serve;                              // serve.cpp
extern const Command k_token;                              // token.cpp
extern const Command k_backup, k_verify, k_move;           // care.cpp, move.cpp

// Of the program steelyard-service, which alone loads what encryption needs; steelyard itself hands its arguments on.
RunResult run_serve(Run& run);
RunResult run_token(Run& run);

}  // namespace steelyard::cli
