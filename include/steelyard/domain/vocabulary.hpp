#pragma once
/// The closed lists of words that entries may use, and the words of the enums.

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/domain/records.hpp"

namespace steelyard {

/// The words of an enum in the order of its values. Defined for every enum of records.hpp.
template <class E>
[[nodiscard]] std::span<const std::string_view> words_of();

template <>
std::span<const std::string_view> words_of<Unit>();
template <>
std::span<const std::string_view> words_of<DayKind>();
template <>
std::span<const std::string_view> words_of<OffReason>();
template <>
std::span<const std::string_view> words_of<Intent>();
template <>
std::span<const std::string_view> words_of<PainKind>();
template <>
std::span<const std::string_view> words_of<ClearedBy>();
template <>
std::span<const std::string_view> words_of<RecordKind>();

template <class E>
[[nodiscard]] std::string_view word(E value) {
  return words_of<E>()[static_cast<std::size_t>(value)];
}
template <class E>
[[nodiscard]] std::optional<E> from_word(std::string_view text) {
  const auto words = words_of<E>();
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (words[i] == text) return static_cast<E>(i);
  }
  return std::nullopt;
}

/// Symptom codes of the morning check.
[[nodiscard]] std::span<const std::string_view> symptom_codes();
/// Regions that may be sore, without sides.
[[nodiscard]] std::span<const std::string_view> sore_regions();
/// Sites that may hurt, without sides: every region, singular or plural, and some more.
[[nodiscard]] std::span<const std::string_view> pain_sites();
/// What an athlete may share with a coach; "notes" shares the words of notes.
[[nodiscard]] std::span<const std::string_view> share_words();
[[nodiscard]] std::span<const std::string_view> default_share();

/// "knee-right" -> {"knee", "right"}; no side -> {"low-back", ""}.
struct Sited {
  std::string_view site;
  std::string_view side;
};
[[nodiscard]] Sited split_side(std::string_view text);
/// "knee-right" -> "right knee", "low-back" -> "low back"
[[nodiscard]] std::string spoken_site(std::string_view text);
/// The region (plural, no side) to which a pain site or a sore region belongs: "knee-right" -> "knees", "groin" ->
/// "hips".
[[nodiscard]] std::string_view region_of(std::string_view text);
/// "split-squat" -> "split squat"
[[nodiscard]] std::string spoken_lift(std::string_view lift);

/// domain  1-64 letters, digits, '-', '_', '.'
[[nodiscard]] bool is_athlete_code(std::string_view text);
/// domain  1-64 lower-case letters, digits, '-'; blanks and '_' are read as '-'
[[nodiscard]] std::string lift_code(std::string_view text);

}  // namespace steelyard
