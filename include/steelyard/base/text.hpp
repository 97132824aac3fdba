#pragma once
/// Numbers and words in and out of text, the same in every locale.

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace steelyard {

/// Kilograms of one pound, exactly (international yard and pound agreement, 1959).
inline constexpr double k_kg_per_lb = 0.45359237;

/// domain  a decimal number and nothing else: no blank, no leading plus, no "nan", "inf" or hexadecimal form
[[nodiscard]] std::optional<double> parse_number(std::string_view text);
[[nodiscard]] std::optional<int> parse_int(std::string_view text);

/// Shortest text that reads back as the same double: "82.5", "140", "0.1".
[[nodiscard]] std::string format_number(double value);
/// At most `decimals` places, trailing zeros and a bare point dropped: 82.50 -> "82.5", 140.0 -> "140".
[[nodiscard]] std::string format_number(double value, int decimals);

[[nodiscard]] std::string_view trim(std::string_view text);
[[nodiscard]] std::vector<std::string_view> split_words(std::string_view text);  ///< at blanks; no empty words
[[nodiscard]] std::vector<std::string_view> split(std::string_view text, char separator);  ///< empty parts are kept
[[nodiscard]] std::string to_lower(std::string_view text);                                 ///< ASCII letters only
/// "a", "a and b", "a, b and c"
[[nodiscard]] std::string join_words(std::span<const std::string> words);
/// "a, b and 7 others" if there are more than four
[[nodiscard]] std::string join_some_words(std::span<const std::string> words);
[[nodiscard]] std::string capitalized(std::string_view text);
/// 'text' for a message: control characters as \n, \t or \xNN, and no more than about 60 bytes of it.
[[nodiscard]] std::string in_quotes(std::string_view text);

/// The candidate with the fewest edits from `word`, if at most a third of its letters (at least one) would change.
[[nodiscard]] std::optional<std::string_view> nearest_word(std::string_view word,
                                                           std::span<const std::string_view> candidates);

/// True for well-formed UTF-8 without NUL. source  RFC 3629, section 4
[[nodiscard]] bool is_plain_utf8(std::string_view text);
/// Number of terminal columns, counting every code point as one; escape sequences are not expected.
[[nodiscard]] std::size_t display_width(std::string_view text);

/// For text inside HTML, SVG and their attributes: & < > " ' as entities. Control characters stay as they are.
[[nodiscard]] std::string html_escaped(std::string_view text);

/// A 64-bit FNV-1a digest as 16 hexadecimal digits: tells contents apart, protects nothing.
[[nodiscard]] std::string digest(std::string_view bytes);

}  // namespace steelyard
