#include "serve/briefings.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <set>

#include "steelyard/app/access.hpp"
#include "steelyard/app/folder.hpp"
#include "steelyard/app/show.hpp"
#include "steelyard/app/today.hpp"
#include "steelyard/app/zone.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/serve/daemon.hpp"

namespace steelyard::serve {
namespace {

constexpr std::chrono::minutes k_first_pause{1};
constexpr std::chrono::minutes k_longest_pause{240};

struct LocalTime {
  Day day{};
  std::chrono::minutes after_midnight{};
};

Result<LocalTime> local_time(std::string_view zone, Instant now) {
  STEELYARD_TRY_ASSIGN(const std::string rule, app::rule_of_zone(zone));
  STEELYARD_TRY_ASSIGN(const auto clock, clock_in_zone(rule, now));
  const Day day = std::chrono::floor<Days>(clock);
  return LocalTime{day, std::chrono::floor<std::chrono::minutes>(clock - day)};
}

/// A page that needs nothing else: the text as it stands, escaped.
std::string page_of(std::string_view title, std::string_view text) {
  return fmt::format(
      "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{}</title>"
      "<style>body{{font-family:sans-serif;margin:2em}}pre{{white-space:pre-wrap;font-size:1.1em}}</style></head>"
      "<body><h1>{}</h1><pre>{}</pre></body></html>\n",
      html_escaped(title), html_escaped(title), html_escaped(text));
}

std::chrono::minutes morning_of(const BriefingOptions& options, const std::string& athlete) {
  const auto own = options.morning_of.find(athlete);
  return own == options.morning_of.end() ? options.morning : own->second;
}

Result<store::Briefing> day_briefing(app::Context& context, const Athlete& athlete, Day day) {
  STEELYARD_TRY_ASSIGN(const DayCall call, app::today(context, athlete, day));
  const report::Look look{.color = false, .unicode = true, .width = 80, .units = athlete.units.value_or(Unit::kg)};
  const std::string text = report::today_text(call, look);
  return store::Briefing{.kind = "day",
                         .subject = athlete.athlete,
                         .date = day,
                         .made_at = context.now,
                         .text = text,
                         .html = page_of(fmt::format("{}, {}", athlete.athlete, report::long_day(day)), text),
                         .json = report::today_json(call) + '\n'};
}

Result<store::Briefing> week_briefing(app::Context& context, const std::string& group, Day monday) {
  const IsoWeek last = iso_week(monday - Days{1});
  app::WeekOptions options{.week = last, .group = std::nullopt, .today = monday};
  if (!group.empty()) options.group = group;
  STEELYARD_TRY_ASSIGN(const WeekReview review, app::week(context, options));
  const std::string text = report::week_text(review, {.color = false, .unicode = true, .width = 80});
  return store::Briefing{
      .kind = "week",
      .subject = group,
      .date = monday,
      .made_at = context.now,
      .text = text,
      .html = page_of(fmt::format("{}{}{}", format_iso_week(last), group.empty() ? "" : ", ", group), text),
      .json = report::week_json(review) + '\n'};
}

/// One briefing, if nobody made it yet. It is worked out before the transaction that keeps it: a first call learns from
/// years of entries, and nobody's entry should wait for that. returns  whether it was made here
template <class Make>
Result<bool> make_once(app::Context& context, const std::vector<Athlete>& athletes, std::string_view kind,
                       const std::string& subject, Day date, const std::function<Result<bool>()>& may_make, Make make) {
  store::Service& service = context.store.service();
  STEELYARD_TRY_ASSIGN(bool there, service.has_briefing(kind, subject, date));
  if (there) return false;
  STEELYARD_TRY_ASSIGN(bool ours, may_make());
  if (!ours) return false;
  STEELYARD_TRY_ASSIGN(const store::Briefing briefing, make());
  STEELYARD_TRY_ASSIGN(const auto work, service.begin_work());
  STEELYARD_TRY_ASSIGN(ours, may_make());
  if (!ours) return false;
  STEELYARD_TRY_ASSIGN(there, service.has_briefing(kind, subject, date));  // somebody else, in the meantime
  STEELYARD_TRY_ASSIGN(const auto now, context.store.athletes());
  if (there || now != athletes) return false;  // of somebody who was erased meanwhile nothing may come back
  STEELYARD_TRY(service.add_briefing(briefing));
  STEELYARD_TRY(work->commit());
  return true;
}

/// A file name without anything that a name must not hold; names that had to change carry a digest.
std::string safe_name(std::string_view text) {
  std::string name;
  for (const char c : text) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
                       c == '_' || (c == '.' && !name.empty());
    name += plain ? c : '_';
  }
  return name == text ? name : name + '-' + digest(text).substr(0, 8);
}

/// The point keeps a week apart from a lifter of that code.
std::string base_name(const store::Briefing& b) {
  if (b.kind == "day") return fmt::format("{}-{}", format_day(b.date), safe_name(b.subject));
  return fmt::format("{}.week{}{}", format_day(b.date), b.subject.empty() ? "" : "-", safe_name(b.subject));
}

/// Writes the three files, noted before, so that whoever erases an athlete finds them.
/// returns  false = the athlete was erased meanwhile, and nothing stays
Result<bool> write_files(store::Service& service, const store::Briefing& b, const std::string& base) {
  STEELYARD_TRY_ASSIGN(const bool noted, service.note_outbox(b, base));
  if (!noted) return false;
  const std::array<std::string_view, 3> contents{b.text, b.html, b.json};
  for (std::size_t i = 0; i < contents.size(); ++i) {
    STEELYARD_TRY(app::write_file(base + std::string(app::k_briefing_files.at(i)), contents.at(i)));
  }
  STEELYARD_TRY_ASSIGN(const bool there, service.has_briefing(b.kind, b.subject, b.date));
  if (there) return true;
  for (const auto ending : app::k_briefing_files) STEELYARD_TRY(app::remove_file(base + std::string(ending)));
  return false;
}

Result<void> hand_over(store::Service& service, const store::Briefing& b, const BriefingOptions& options,
                       const std::function<bool()>& is_stopped) {
  std::error_code unknown;  // from any folder the files are to be found again
  const auto outbox = std::filesystem::absolute(options.outbox, unknown);
  const std::string base = fmt::format("{}/{}", unknown ? options.outbox : outbox.string(), base_name(b));
  STEELYARD_TRY_ASSIGN(const bool written, write_files(service, b, base));
  if (!written || options.command.empty()) return {};
  return run_command(options.command, base + ".txt",
                     {{"STEELYARD_BRIEFING_ID", base_name(b)},
                      {"STEELYARD_BRIEFING_KIND", b.kind},
                      {"STEELYARD_BRIEFING_FOR", b.subject},
                      {"STEELYARD_BRIEFING_DATE", format_day(b.date)},
                      {"STEELYARD_BRIEFING_FILES", base}},
                     options.command_time, is_stopped);
}

std::chrono::minutes pause_after(int tries) {
  return std::min(k_longest_pause, k_first_pause * (1 << std::min(2 * tries, 10)));
}

}  // namespace

Result<std::chrono::minutes> parse_clock(std::string_view text) {
  const auto hours = text.size() == 5 && text[2] == ':' ? parse_int(text.substr(0, 2)) : std::nullopt;
  const auto minutes = hours ? parse_int(text.substr(3)) : std::nullopt;
  if (!minutes || *hours < 0 || *hours > 23 || *minutes < 0 || *minutes > 59) {
    return fail(Errc::usage, fmt::format("{} is not a time of day; allowed: HH:MM, such as 06:00", in_quotes(text)));
  }
  return std::chrono::hours{*hours} + std::chrono::minutes{*minutes};
}

Result<BriefingReport> make_briefings(app::Context& context, const BriefingOptions& options,
                                      const std::function<Result<bool>()>& may_make) {
  STEELYARD_TRY_ASSIGN(const auto athletes, context.store.athletes());
  BriefingReport report;
  const auto note = [&](const Result<bool>& made) {
    if (!made) {
      report.errors.push_back(made.error());  // one lifter's trouble is not the others'
    } else if (*made) {
      ++report.made;
    }
  };
  const bool has_groups =
      std::any_of(athletes.begin(), athletes.end(), [](const Athlete& a) { return !a.group.empty(); });
  std::set<std::string> groups;
  for (const Athlete& athlete : athletes) {
    const auto local = local_time(athlete.time_zone, context.now);
    if (!local) {
      report.errors.push_back(local.error());
      continue;
    }
    if (local->after_midnight >= morning_of(options, athlete.athlete)) {
      note(make_once(context, athletes, "day", athlete.athlete, local->day, may_make,
                     [&] { return day_briefing(context, athlete, local->day); }));
    }
    if ((has_groups && athlete.group.empty()) || !groups.insert(athlete.group).second) continue;
    const Day monday = local->day - Days{weekday_index(local->day)};
    if (local->day == monday && local->after_midnight < options.morning) continue;
    note(make_once(context, athletes, "week", athlete.group, monday, may_make,
                   [&] { return week_briefing(context, athlete.group, monday); }));
  }
  return report;
}

Result<BriefingReport> deliver_briefings(app::Context& context, const BriefingOptions& options,
                                         const std::function<bool()>& is_stopped) {
  store::Service& service = context.store.service();
  STEELYARD_TRY_ASSIGN(const auto waiting, service.undelivered(context.now));
  BriefingReport report;
  for (const store::Briefing& b : waiting) {
    if (is_stopped()) break;
    const auto handed = hand_over(service, b, options, is_stopped);
    if (handed) {
      STEELYARD_TRY(service.set_delivered(b, context.now));
      ++report.delivered;
      continue;
    }
    if (is_stopped()) break;
    report.errors.push_back(handed.error());
    if (handed.error().code == Errc::failed && b.tries + 1 >= options.most_tries) {
      STEELYARD_TRY(service.set_delivered(b, context.now));
      ++report.given_up;
    } else {
      STEELYARD_TRY(service.put_off(b, context.now + pause_after(b.tries)));
    }
  }
  return report;
}

}  // namespace steelyard::serve
