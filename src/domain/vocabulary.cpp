#include "steelyard/domain/vocabulary.hpp"

#include <algorithm>
#include <array>

#include "steelyard/base/text.hpp"

namespace steelyard {
namespace {

using namespace std::string_view_literals;

constexpr std::array k_units{"kg"sv, "lb"sv};
constexpr std::array k_kinds{"heavy"sv, "volume"sv, "speed"sv, "light"sv, "rest"sv, "sport"sv, "other"sv};
constexpr std::array k_off{"planned"sv, "holiday"sv, "illness"sv, "injury"sv, "travel"sv, "match"sv, "missed"sv};
constexpr std::array k_intents{"hard"sv, "easy"sv, "ramp"sv, "camp"sv, "taper"sv};
constexpr std::array k_pains{"dull"sv, "sharp"sv, "numb"sv, "pressure"sv, "burning"sv, "radiating"sv};
constexpr std::array k_cleared{"practitioner"sv, "mistake"sv};
constexpr std::array k_records{"athletes"sv, "maxes"sv, "plan"sv,   "periods"sv, "days-off"sv,
                               "sessions"sv, "sets"sv,  "checks"sv, "bar"sv,     "clearances"sv};

constexpr std::array k_symptoms{"chest-pressure"sv,
                                "arm-pain"sv,
                                "dizzy"sv,
                                "fainted"sv,
                                "near-faint-exertion"sv,
                                "numb-limb"sv,
                                "numb-saddle"sv,
                                "bladder-change"sv,
                                "dark-urine"sv,
                                "swelling"sv,
                                "locking"sv,
                                "giving-way"sv,
                                "night-pain"sv,
                                "fever"sv,
                                "aching-all-over"sv,
                                "sore-throat"sv,
                                "runny-nose"sv,
                                "chest-cold"sv,
                                "stomach"sv,
                                "head-knock"sv,
                                "breathless-at-rest"sv,
                                "breathless-in-effort"sv,
                                "leg-weakness"sv,
                                "sudden-weakness"sv,
                                "speech-trouble"sv,
                                "worst-headache"sv,
                                "palpitations"sv,
                                "deformity"sv,
                                "cannot-bear-weight"sv,
                                "hot-swollen-calf"sv,
                                "limping"sv,
                                "vomiting"sv,
                                "diarrhoea"sv,
                                "cough"sv};
constexpr std::array k_regions{"calves"sv, "knees"sv,    "quads"sv,      "hamstrings"sv, "hips"sv,
                               "glutes"sv, "low-back"sv, "upper-back"sv, "chest"sv,      "shoulders"sv,
                               "elbows"sv, "wrists"sv,   "neck"sv};

/// Site of pain -> region whose lifts it concerns.
struct SiteRegion {
  std::string_view site;
  std::string_view region;
};
constexpr std::array<SiteRegion, 38> k_sites{{
    {"calves", "calves"},
    {"calf", "calves"},
    {"shin", "calves"},
    {"ankle", "calves"},
    {"foot", "calves"},
    {"knees", "knees"},
    {"knee", "knees"},
    {"quads", "quads"},
    {"quad", "quads"},
    {"thigh", "quads"},
    {"hamstrings", "hamstrings"},
    {"hamstring", "hamstrings"},
    {"hips", "hips"},
    {"hip", "hips"},
    {"groin", "hips"},
    {"glutes", "glutes"},
    {"glute", "glutes"},
    {"low-back", "low-back"},
    {"low-backs", "low-back"},
    {"back", "low-back"},
    {"upper-back", "upper-back"},
    {"upper-backs", "upper-back"},
    {"rib", "upper-back"},
    {"chest", "chest"},
    {"chests", "chest"},
    {"abdomen", "low-back"},
    {"shoulders", "shoulders"},
    {"shoulder", "shoulders"},
    {"elbows", "elbows"},
    {"elbow", "elbows"},
    {"forearm", "elbows"},
    {"wrists", "wrists"},
    {"wrist", "wrists"},
    {"hand", "wrists"},
    {"neck", "neck"},
    {"necks", "neck"},
    {"head", "neck"},
    {"jaw", "neck"},
}};
constexpr std::array<std::string_view, k_sites.size()> k_site_names = [] {
  std::array<std::string_view, k_sites.size()> names{};
  for (std::size_t i = 0; i < k_sites.size(); ++i) names[i] = k_sites[i].site;
  return names;
}();

constexpr std::array k_share{"load"sv, "checks"sv, "pain"sv, "stops"sv, "distress-flag"sv, "notes"sv};

}  // namespace

template <>
std::span<const std::string_view> words_of<Unit>() {
  return k_units;
}
template <>
std::span<const std::string_view> words_of<DayKind>() {
  return k_kinds;
}
template <>
std::span<const std::string_view> words_of<OffReason>() {
  return k_off;
}
template <>
std::span<const std::string_view> words_of<Intent>() {
  return k_intents;
}
template <>
std::span<const std::string_view> words_of<PainKind>() {
  return k_pains;
}
template <>
std::span<const std::string_view> words_of<ClearedBy>() {
  return k_cleared;
}
template <>
std::span<const std::string_view> words_of<RecordKind>() {
  return k_records;
}

std::span<const std::string_view> symptom_codes() {
  return k_symptoms;
}
std::span<const std::string_view> sore_regions() {
  return k_regions;
}
std::span<const std::string_view> pain_sites() {
  return k_site_names;
}
std::span<const std::string_view> share_words() {
  return k_share;
}
std::span<const std::string_view> default_share() {
  return std::span(k_share).first(5);
}

Sited split_side(std::string_view text) {
  for (const auto side : {"left"sv, "right"sv}) {
    if (text.size() > side.size() + 1 && text.ends_with(side) && text[text.size() - side.size() - 1] == '-') {
      return {text.substr(0, text.size() - side.size() - 1), side};
    }
  }
  return {text, {}};
}

std::string spoken_site(std::string_view text) {
  const auto [site, side] = split_side(text);
  std::string spoken(site);
  std::replace(spoken.begin(), spoken.end(), '-', ' ');
  return side.empty() ? spoken : std::string(side) + " " + spoken;
}

std::string_view region_of(std::string_view text) {
  const auto site = split_side(text).site;
  const auto found = std::find_if(k_sites.begin(), k_sites.end(), [&](const SiteRegion& s) { return s.site == site; });
  return found == k_sites.end() ? std::string_view{} : found->region;
}

std::string spoken_lift(std::string_view lift) {
  std::string spoken(lift);
  std::replace(spoken.begin(), spoken.end(), '-', ' ');
  return spoken;
}

bool is_athlete_code(std::string_view text) {
  const auto allowed = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_' ||
           c == '.';
  };
  return !text.empty() && text.size() <= 64 && std::all_of(text.begin(), text.end(), allowed);
}

std::string lift_code(std::string_view text) {
  std::string code = to_lower(trim(text));
  for (char& c : code) {
    if (c == ' ' || c == '_') c = '-';
    const bool allowed = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
    if (!allowed) return {};
  }
  return code.size() <= 64 ? code : std::string{};
}

}  // namespace steelyard
