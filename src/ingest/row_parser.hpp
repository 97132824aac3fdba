#pragma once
/// The cells of one row to a record, whatever file they came from.
/// cost  no allocation for a row of numbers, dates and codes that came before

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "ingest/kinds.hpp"
#include "steelyard/ingest/reader.hpp"

namespace steelyard::ingest {

/// Answers of a lookup, kept, since the rows of a file name the same people again and again.
class KnownAthletes {
 public:
  KnownAthletes(const AthleteLookup& lookup, bool any_athlete) : lookup_(lookup), any_athlete_(any_athlete) {}

  /// nullptr = unknown. The pointer holds until the next call.
  [[nodiscard]] const KnownAthlete* find(std::string_view code);
  /// After a row of athletes: who was unknown may be known now, or lift in other units.
  void forget() { known_.clear(); }

 private:
  struct Hash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>{}(text); }
  };
  const AthleteLookup& lookup_;
  bool any_athlete_;
  std::unordered_map<std::string, KnownAthlete, Hash, std::equal_to<>> known_;
};

class RowParser {
 public:
  RowParser(const AthleteLookup& lookup, bool any_athlete) : athletes_(lookup, any_athlete) {}

  /// shape   cells: one a column in the order of columns_of(kind); blank = not recorded
  /// errors  none = something is wrong, see errors()
  [[nodiscard]] std::optional<Record> parse(RecordKind kind, std::span<const std::string_view> cells);

  /// What is wrong with the row parsed last; where = column name.
  [[nodiscard]] const std::vector<Error>& errors() const { return errors_; }

  void forget_athletes() { athletes_.forget(); }

 private:
  KnownAthletes athletes_;
  std::vector<Error> errors_;
  std::string day_text_;  ///< the date read last; most rows repeat it
  Day day_{};

  template <class R>
  friend class FieldReader;
};

}  // namespace steelyard::ingest
