#pragma once
/// Everything about an athlete out of the store, as the files that `ingest` reads, and out of it for good.

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "steelyard/app/context.hpp"

namespace steelyard::app {

struct ExportOptions {
  std::optional<std::string> athlete;  ///< none = everybody
  std::string folder;                  ///< made if it is not there; must be empty
  bool for_spreadsheets = false;       ///< defuse text that a spreadsheet would run; not for reading back
};

/// Files written, with their number of rows. Rows that a question holds aside are written as they were entered, so that
/// reading them back asks again.
/// definition  reading the folder into an empty store gives equal contents, except where a doubtful entry was kept: it
///             is asked about again
/// errors      no_input, usage (the folder is not empty), io
[[nodiscard]] Result<std::vector<std::pair<std::string, std::size_t>>> export_logs(Context& context,
                                                                                   const ExportOptions& options);

/// What an erasure did: its receipt.
struct Erased {
  std::size_t entries = 0;          ///< rows of the athlete that were in force
  std::size_t replaced = 0;         ///< rows that had been replaced or removed before
  std::string digest;               ///< of the rows of everybody else, that are left
  std::size_t files = 0;            ///< of briefings, removed from the outbox
  std::vector<Error> left;          ///< files that could not be removed, and copies of the store (copies_with)
  std::optional<Error> unfinished;  ///< traces that stay in the store's file until others close it
};

/// Removes every trace of an athlete from the store, and the files of briefings that tell of them. Copies that the program
/// made of the store are somebody's only way back and are named, not removed. `file` = the store, if it is one.
/// errors  no_input, busy (nothing is removed), those of the store
[[nodiscard]] Result<Erased> erase(Context& context, const std::string& athlete,
                                   const std::optional<std::string>& file = {});

}  // namespace steelyard::app
