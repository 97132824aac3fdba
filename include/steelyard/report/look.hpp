#pragma once
/// How text for a person is laid out: widths, wrapping, the cleaning of everything that people typed, figures as words.
/// definition  Without Unicode every mark has a form in plain ASCII.
/// domain      Text of any origin may be handed in: what could steer a terminal is made visible or dropped (clean).

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/day.hpp"
#include "steelyard/domain/call.hpp"
#include "steelyard/domain/records.hpp"

namespace steelyard::report {

struct Look {
  bool color = false;    ///< bold and dim (SGR 1 and 2) may be used
  bool unicode = false;  ///< the reader's screen shows UTF-8
  int width = 80;        ///< columns of the screen
  Unit units = Unit::kg;
};

/// look.width held between 40 and 80: longer lines are hard to read, shorter ones hold no table.
[[nodiscard]] std::size_t usable_width(const Look& look);

/// One line without anything that steers a terminal: control characters, escape sequences, invalid UTF-8 and
/// direction overrides become a visible mark, line ends become blanks, and without Unicode other letters become '?'.
[[nodiscard]] std::string clean(std::string_view text, const Look& look);

/// Terminal columns of clean text: wide East Asian letters and pictographs count two, combining marks none.
[[nodiscard]] std::size_t columns(std::string_view text);

/// Lines of at most `width` columns, broken at blanks; a longer word is cut. Blanks that `unbroken` made are kept.
/// domain  clean text, width >= 1
[[nodiscard]] std::vector<std::string> wrap(std::string_view text, std::size_t width);

/// The text with its blanks made unbreakable: "82.5 kg" stays on one line.
[[nodiscard]] std::string unbroken(std::string_view text);

/// The text with an unbreakable blank between a number and its unit.
[[nodiscard]] std::string glue_units(std::string_view text);

enum class Weight { plain, bold, dim };

// ------------------------------------------------------------------------------------------ figures as words
/// A weight in the unit that is shown, unrounded, and the unit's name.
[[nodiscard]] double in_unit(double kg, const Look& look);
[[nodiscard]] std::string_view unit_name(const Look& look);
/// "82.5 kg"; in pounds rounded to the nearest half.
[[nodiscard]] std::string weight_text(double kg, const Look& look);
/// "2 x 20 + 5 kg"; "the bar alone" when there are none. A plate that is no multiple of 0.25 kg is a pound plate.
[[nodiscard]] std::string plates_text(const std::vector<double>& plates_kg, const Look& look);
/// "heavy 3 x 4 at 82.5 %", "rest"
[[nodiscard]] std::string prescription_text(const Prescription& p, const Look& look);
[[nodiscard]] std::string times(const Look& look);              ///< "x"
[[nodiscard]] std::string short_day(Day day);                   ///< "Mon 2026-03-02"
[[nodiscard]] std::string weekday_month_day(Day day);           ///< "Mon 03-02"
[[nodiscard]] std::string long_day(Day day);                    ///< "Monday 2026-03-02"
[[nodiscard]] std::string whole_text(double x);                 ///< "94", rounded
[[nodiscard]] std::string range_text(double low, double high);  ///< "94 to 100", whole numbers
[[nodiscard]] std::string counted(std::size_t n, std::string_view one, std::string_view many);  ///< "1 day", "3 days"
/// The number with `decimals` places kept, or "-" when it is absent.
[[nodiscard]] std::string fixed_or_dash(const std::optional<double>& value, int decimals);

/// What is said wherever a ratio is shown. source  Impellizzeri et al. 2020, Int J Sports Physiol Perform 15:907-913
inline constexpr std::string_view k_ratio_note =
    "A ratio describes a change of load and nothing else: that it foretells injury in one person is not established "
    "(Impellizzeri et al. 2020).";

}  // namespace steelyard::report
