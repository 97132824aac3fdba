// Writes the logs of the invented club in club.hpp, the same bytes on every platform.
//   generate_sample_logs DIR           write the files
//   generate_sample_logs --check DIR   compare them with what would be written; exit 1 at the first difference
// The truth behind the entries is simple on purpose: strength grows slowly, falls with tiredness and short sleep and
// scatters by about 1 %; work leaves soreness that halves in a day; entries are that truth, rounded as people round.

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <fstream>
#include <iostream>
#include <iterator>
#include <sstream>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "club.hpp"
#include "text.hpp"

namespace {

using namespace club;
using std::chrono::days;

constexpr double k_kg_per_lb = 0.45359237;  // exact, international pound of 1959

int weekday_of(Date day) {
  return static_cast<int>(std::chrono::weekday{day}.iso_encoding()) - 1;
}
int week_of(Date day) {
  return static_cast<int>((day - k_first).count() / 7);
}
bool is_easy(Date day) {
  return week_of(day) % k_block_weeks == k_block_weeks - 1;
}

/// The entry of a story table that concerns this lifter on this day.
template <class Entry>
const Entry* find_entry(const std::vector<Entry>& table, std::string_view code, Date day) {
  const auto found = std::find_if(table.begin(), table.end(),
                                  [&](const Entry& e) { return e.code == code && e.from <= day && day <= e.to; });
  return found == table.end() ? nullptr : &*found;
}

double pushed(std::string_view code, Date day, Pushed what) {
  double sum = 0;
  for (const auto& p : k_pushes) {
    if (p.code == code && p.what == what && p.from <= day && day <= p.to) sum += p.amount;
  }
  return sum;
}

/// The plan of one lift on one day, with the block's rise and easy week worked in.
Work waved(const Work& base, Date day, bool is_waved) {
  Work work = base;
  if (!is_waved) return work;
  constexpr std::array k_rise{-2.5, 0.0, 2.5, -5.0};
  constexpr std::array k_reps{1, 0, -1, 0};
  const auto place = static_cast<std::size_t>(week_of(day) % k_block_weeks);
  if (work.kind == "heavy" || work.kind == "volume") work.percent += k_rise[place];
  if (work.kind == "heavy") work.reps += k_reps[place];
  if (is_easy(day)) work.sets = (work.sets + 1) / 2;
  return work;
}

class Diary {
 public:
  Diary(const Lifter& lifter, std::size_t number, Files& files)
      : who_(lifter), number_(number), files_(files), strength_(lifter.max_kg) {
    double week_load = 0;
    for (const auto& session : *lifter.phases.front().pattern) week_load += session.minutes * session.rpe;
    usual_day_load_ = week_load / 7;
  }

  void write() {
    const auto& w = who_;
    files_.row("athletes.csv",
               {std::string(w.code), std::string(w.name), std::to_string(w.birth_year), std::string(w.training_since),
                w.pounds ? "lb" : "kg", std::string(w.weekdays), std::string(w.time_zone), std::string(w.meet_date),
                std::string(k_group), w.pounds ? "20.412" : "20",
                w.pounds ? "20.412 11.34 4.536 2.268 1.134" : "25 20 15 10 5 2.5 1.25"});
    for (Date day = w.first; day <= k_plan_end; day += days{1}) {
      Random random(number_, day.time_since_epoch().count());
      set_maxes(day);
      plan(day);
      if (day <= k_today) morning(day, random);
      if (day < k_today) train(day, random);
      for (double& kg : strength_) kg *= 1 + w.gain_percent_a_week / 700;
    }
  }

 private:
  [[nodiscard]] std::string code() const { return std::string(who_.code); }
  [[nodiscard]] bool silent(Date day) const { return find_entry(k_silences, who_.code, day) != nullptr; }

  /// At the start of a block the training max follows the strength, down to the step below it and never back.
  /// A beginner's follows every two weeks.
  void set_maxes(Date day) {
    const int weeks = who_.gain_percent_a_week > 1 ? 2 : k_block_weeks;
    if (day > k_today || weekday_of(day) != 0 || (week_of(day) - week_of(who_.first)) % weeks != 0) return;
    for (std::size_t i = 0; i < k_lifts.size(); ++i) {
      const double kg = std::floor(strength_[i] * 0.995 / step()) * step();
      if (kg <= max_[i]) continue;
      max_[i] = kg;
      files_.row("maxes.csv", {code(), std::string(k_lifts[i]), text_of(day), typed(kg), who_.pounds ? "lb" : "kg"});
    }
  }

  [[nodiscard]] double step() const { return who_.pounds ? 5 * k_kg_per_lb : 2.5; }
  [[nodiscard]] std::string typed(double kg) const {
    return who_.pounds ? text_of(round_to(kg / k_kg_per_lb, 5)) : text_of(kg);
  }

  [[nodiscard]] const Phase& phase(Date day) const {
    const auto later =
        std::find_if(who_.phases.begin(), who_.phases.end(), [&](const Phase& p) { return p.from > day; });
    return *std::prev(later);
  }
  [[nodiscard]] const TrainingDay* training_day(Date day) const {
    const Pattern& pattern = *phase(day).pattern;
    const auto found = std::find_if(pattern.begin(), pattern.end(),
                                    [&](const TrainingDay& d) { return d.weekday == weekday_of(day); });
    return found == pattern.end() ? nullptr : &*found;
  }

  [[nodiscard]] double planned_minutes(const TrainingDay& training, Date day) const {
    const bool eased = is_easy(day) && phase(day).waved && !training.work.empty();
    return round_to(training.minutes * (eased ? 0.7 : 1.0), 5);
  }

  void plan(Date day) {
    const TrainingDay* training = training_day(day);
    const Off* off = find_entry(k_off, who_.code, day);
    if (training == nullptr || (off != nullptr && off->known_before)) return;
    std::string minutes = text_of(planned_minutes(*training, day));
    for (const auto& base : training->work) {
      if (base.kind.empty()) continue;
      const Work work = waved(base, day, phase(day).waved);
      files_.row("plan.csv", {code(), text_of(day), std::string(work.lift), std::string(work.kind),
                              std::to_string(work.sets), std::to_string(work.reps), text_of(work.percent), minutes});
      minutes.clear();
    }
  }

  /// What the night and the days before leave behind, and what is ticked about it.
  void morning(Date day, Random& random) {
    const Usual& u = who_.usual;
    const bool weekend = weekday_of(day) >= 5;
    const double slept_more = 0.65 * random.normal() + (weekend ? 0.3 : -0.1) + pushed(who_.code, day, Pushed::sleep);
    const double sleep = round_to(std::clamp(u.sleep_hours + slept_more, 3.5, 11.0), 0.5);
    stress_ = 0.8 * stress_ + 0.45 * random.normal();
    const double sorest = *std::max_element(sore_.begin(), sore_.end());
    const double sore = 0.75 * (sorest - 1) + 0.35 * random.normal() + pushed(who_.code, day, Pushed::soreness);
    const double tired =
        2.2 * (tiredness_ - 1) - 0.4 * slept_more + 0.5 * random.normal() + pushed(who_.code, day, Pushed::fatigue);
    form_ = who_.sleep_effect * slept_more - 2 * (tiredness_ - 1) + random.normal() +
            pushed(who_.code, day, Pushed::strength);
    measure_bar(day, random);

    const auto tick = [](double value) { return text_of(std::clamp(round_to(value, 1), 1.0, 7.0)); };
    std::vector<std::string> cells{code(),
                                   text_of(day),
                                   text_of(sleep),
                                   tick(u.sleep_quality + 0.8 * slept_more + 0.4 * random.normal()),
                                   tick(u.soreness + sore),
                                   tick(u.fatigue + tired),
                                   tick(u.stress + stress_),
                                   tick(u.mood - 0.35 * tired - 0.3 * stress_ + 0.4 * random.normal()),
                                   sore_regions()};
    cells.resize(Files::k_check_columns.size());
    if (who_.same_ticks) {
      const std::array same{u.sleep_hours, u.sleep_quality, u.soreness, u.fatigue, u.stress, u.mood};
      std::transform(same.begin(), same.end(), cells.begin() + 2, [](double v) { return text_of(v); });
      cells[8].clear();
    }
    if (who_.measures_heart) {
      cells[11] = text_of(round_to(54 + 5 * (tiredness_ - 1) + 1.5 * random.normal(), 1));
      cells[12] = text_of(round_to(63 - 14 * (tiredness_ - 1) + 5 * random.normal(), 1));
    }
    if (who_.weighs)
      cells[13] =
          text_of(round_to(92.4 - 0.01 * static_cast<double>((day - k_first).count()) + 0.3 * random.normal(), 0.1));
    for (const auto& w : k_written) {
      if (w.code != who_.code || day < w.from || w.to < day) continue;
      const auto& columns = Files::k_check_columns;
      const auto column = std::find(columns.begin(), columns.end(), w.column) - columns.begin();
      cells[static_cast<std::size_t>(column)] = w.text;
    }
    write_check(day, cells, random);
  }

  /// Mornings of a break are not entered, mornings of the last week always, others mostly.
  void write_check(Date day, const std::vector<std::string>& cells, Random& random) {
    const Off* off = find_entry(k_off, who_.code, day);
    const bool away = off != nullptr && off->reason != "illness";
    const bool forgotten = random.uniform() > who_.answers && k_today - day > days{7};
    if (silent(day) || away || forgotten) return;
    if (who_.json_checks)
      files_.json_check("checks-" + code() + ".jsonl", cells);
    else
      files_.row("checks.csv", cells);
  }

  [[nodiscard]] std::string sore_regions() const {
    std::string text;
    for (std::size_t i = 0; i < k_regions.size(); ++i) {
      const double level = std::min(round_to(1.2 + 1.25 * sore_[i], 1), 6.0);
      if (level >= 3) text += (text.empty() ? "" : " ") + std::string(k_regions[i]) + ':' + text_of(level);
    }
    return text;
  }

  /// First warm-up set of squats at 60 %; about 0.014 m/s for each % of strength (invented, of a believable size).
  void measure_bar(Date day, Random& random) {
    const TrainingDay* training = training_day(day);
    const bool squats = training != nullptr && !training->work.empty() && training->work.front().lift == "squat";
    if (!who_.measures_bar || !squats || (day == k_today && !who_.same_ticks)) return;
    const double speed = 0.68 + 0.014 * form_ + 0.012 * random.normal();
    files_.row("bar.csv", {code(), text_of(day), "squat", "60", text_of(speed)});
  }

  void train(Date day, Random& random) {
    double load = 0;
    int part = 0;
    const TrainingDay* training = training_day(day);
    if (training != nullptr && find_entry(k_off, who_.code, day) == nullptr) {
      const bool missed = random.uniform() < 0.025 && k_today - day > days{21} && !training->work.empty();
      if (missed)
        files_.row("days-off.csv", {code(), text_of(day), text_of(day), "missed"});
      else
        load += session(day, *training, ++part, "", random);
    }
    for (const auto& extra : k_extras) {
      if (extra.code == who_.code && extra.day == day) load += session(day, extra.session, ++part, extra.note, random);
    }
    tiredness_ = 0.867 * tiredness_ + 0.133 * load / usual_day_load_;  // seven-day memory: exp(-1/7) = 0.867
    for (double& sore : sore_) sore *= 0.55;
    for (std::size_t i = 0; i < sore_.size(); ++i) sore_[i] += std::exchange(fresh_sore_[i], 0);
  }

  /// Writes one session and its sets; returns its load.
  double session(Date day, const TrainingDay& training, int part, std::string_view note, Random& random) {
    const More* more = part == 1 ? find_entry(k_more, who_.code, day) : nullptr;
    double felt = 0;
    for (const auto& base : training.work) {
      Work work = waved(base, day, phase(day).waved);
      if (more != nullptr) work.sets += more->more_sets;
      const double over = lift(day, work, part, random);
      if (&base == &training.work.front()) felt = over;
    }
    const double minutes =
        round_to((planned_minutes(training, day) + 3 * random.normal()) * (more == nullptr ? 1.0 : more->factor), 5);
    const double wanted = training.rpe + 0.5 * felt + (more == nullptr ? 0.0 : more->rpe) + 0.35 * random.normal();
    const double rpe = std::clamp(round_to(wanted, 0.5), 2.0, 10.0);
    const bool left_blank = random.uniform() < 0.015 && k_today - day > days{7};
    if (!silent(day)) {
      files_.row("sessions.csv", {code(), text_of(day), std::to_string(part), std::string(training.kind),
                                  text_of(minutes), left_blank ? "" : text_of(rpe), std::string(note)});
    }
    return minutes * rpe;
  }

  /// Writes the sets of one lift; returns by how much the last one was harder than such a set should be.
  double lift(Date day, const Work& work, int part, Random& random) {
    const auto accessory = std::find_if(k_accessories.begin(), k_accessories.end(),
                                        [&](const Accessory& a) { return a.lift == work.lift; });
    if (accessory != k_accessories.end()) {
      const auto main = static_cast<std::size_t>(accessory->main_lift);
      fresh_sore_[main] += (accessory->main_lift == 0 ? 0.15 : 0.04) * work.sets;
      write_sets(day, part, work, work.sets, round_to(max_[main] * accessory->part, step()), "", "");
      return 0;
    }
    const auto index = static_cast<std::size_t>(std::find(k_lifts.begin(), k_lifts.end(), work.lift) - k_lifts.begin());
    const double kg = round_to(max_[index] * work.percent / 100, step());
    // Repetitions left by the straight-line curve 1RM = kg (1 + reps / 30) (Epley 1985), 0.45 % lost for each one
    // done before.
    const int done = (work.sets - 1) * work.reps;
    const double left_today = strength_[index] * (1 + form_ / 100) * (1 - 0.0045 * done);
    const double left = 30 * (left_today / kg - 1) - work.reps;
    const double told = left < 3 ? left : 3 + 0.25 * (left - 3);  // far from failure everybody guesses low
    const double rpe = std::clamp(round_to(10 - told + 0.35 * random.normal(), 0.5), 5.0, 10.0);
    const int missed = left < -0.7 ? 1 : 0;
    if (work.sets > 1) write_sets(day, part, work, work.sets - 1, kg, "", "");
    write_sets(day, part, work, 1, kg, text_of(rpe), missed > 0 ? std::to_string(missed) : "");
    const double soreness = work.kind == "volume" ? 0.36 : work.kind == "heavy" ? 0.3 : 0.05;
    fresh_sore_[index] += soreness * work.sets * (index == 2 ? 0.8 : 1.0);
    return rpe - (work.kind == "heavy" || work.kind == "volume" ? 7.5 : 5.5);
  }

  void write_sets(Date day, int part, const Work& work, int sets, double kg, const std::string& rpe,
                  const std::string& missed) {
    if (silent(day)) return;
    const bool slip = k_slip.code == who_.code && k_slip.day == day && k_slip.lift == work.lift && !rpe.empty();
    files_.row("sets.csv", {code(), text_of(day), std::to_string(part), std::string(work.lift), std::to_string(sets),
                            std::to_string(work.reps), typed(kg), who_.pounds && !slip ? "lb" : "kg", rpe, missed});
  }

  const Lifter& who_;
  std::size_t number_;
  Files& files_;
  std::array<double, 3> strength_;      // true best, kg
  std::array<double, 3> max_{};         // written training max, kg
  std::array<double, 3> sore_{};        // by k_regions, 0 = none
  std::array<double, 3> fresh_sore_{};  // from today's work, felt tomorrow
  double tiredness_ = 1;                // recent load over usual load
  double stress_ = 0;
  double form_ = 0;  // strength of the day, % above or below
  double usual_day_load_ = 1;
};

Files club_logs() {
  Files files;
  for (Date easy = k_first + days{7 * (k_block_weeks - 1)}; easy <= k_plan_end; easy += days{7 * k_block_weeks}) {
    files.row("periods.csv", {"", std::string(k_group), text_of(easy), text_of(easy + days{6}), "easy", "easy week"});
  }
  for (const auto& p : k_periods) {
    files.row("periods.csv",
              {std::string(p.code), "", text_of(p.from), text_of(p.to), std::string(p.intent), std::string(p.note)});
  }
  for (const auto& off : k_off) {
    files.row("days-off.csv", {std::string(off.code), text_of(off.from), text_of(off.to), std::string(off.reason)});
  }
  for (std::size_t i = 0; i < k_people.size(); ++i) Diary(k_people[i], i + 1, files).write();
  return files;
}

/// The line of `text` that holds position `at`, and whether its end is missing.
std::string line_around(const std::string& text, std::size_t at) {
  const std::size_t start = at == 0 ? 0 : text.rfind('\n', at - 1) + 1;  // npos + 1 = 0: the first line
  const std::size_t end = text.find('\n', at);
  return text.substr(start, end - start) + (end == std::string::npos ? " (end of file)" : "");
}

/// True if the stored text is the expected one; else the first line that differs is shown.
bool is_same(const std::string& path, const std::string& stored, const std::string& expected) {
  if (stored == expected) return true;
  const auto differs = std::mismatch(stored.begin(), stored.end(), expected.begin(), expected.end()).first;
  const auto at = static_cast<std::size_t>(differs - stored.begin());
  const std::string place = path + ':' + std::to_string(1 + std::count(stored.begin(), differs, '\n'));
  std::cerr << place << ": is     " << line_around(stored, at) << '\n'
            << place << ": should " << line_around(expected, at) << '\n';
  return false;
}

}  // namespace

int main(int count, char** arguments) {
  const std::vector<std::string> words(arguments + 1, arguments + count);
  const bool check = words.size() == 2 && words[0] == "--check";
  if (!check && words.size() != 1) {
    std::cerr << "usage: generate_sample_logs [--check] DIR\n";
    return 64;
  }
  const Files files = club_logs();
  for (const auto& [name, text] : files.texts()) {
    const std::string path = words.back() + '/' + name;
    if (check) {
      std::ostringstream stored;
      stored << std::ifstream(path, std::ios::binary).rdbuf();
      if (!is_same(path, stored.str(), text)) return 1;
      continue;
    }
    std::ofstream file(path, std::ios::binary);
    if (!(file << text) || !file.flush()) {
      std::cerr << path << ": cannot be written\n";
      return 74;
    }
  }
  return 0;
}
