#include "places.hpp"

#include <algorithm>
#include <cmath>

namespace steelyard::decide {
namespace {

constexpr int k_reach = 7;  // days: the week that is under way, whatever weekday it begins on

int whole_days(double hours) {
  return static_cast<int>(std::ceil(hours / 24));
}

/// Today's plan and that of the days after it.
std::vector<PlanRow> rows_from_today(const Morning& m) {
  std::vector<PlanRow> rows = plan_of(m.log->plan, m.today);
  rows.insert(rows.end(), m.ahead.begin(), m.ahead.end());
  return rows;
}

/// A day that is free for this lift whatever stands around it.
bool is_open(const Morning& m, std::string_view lift, Day day) {
  const Models& models = *m.models;
  const LiftModel* model = models.lifts.find(lift);
  if (!m.available(day)) return false;
  if (model != nullptr && model->lower_body && near_match(m, day)) return false;
  const auto last_heavy = models.limits.meet.last_heavy_days.find(meet_lift(m, lift));
  const bool meet_ahead = m.days_to_meet && *m.days_to_meet >= 0;
  return !meet_ahead || last_heavy == models.limits.meet.last_heavy_days.end() ||
         *m.days_to_meet - days_between(m.today, day) >= last_heavy->second[0];
}

/// The best of the days from `earliest` on that `is_good` lets through.
template <class Good>
std::optional<Move> best_place(const Morning& m, std::string_view lift, int earliest, const Good& is_good) {
  const auto rows = rows_from_today(m);
  std::optional<Move> free;
  std::optional<Move> replacing;
  for (int ahead = earliest; ahead < k_reach; ++ahead) {
    const Day day = m.today + Days{ahead};
    if (!is_open(m, lift, day) || !is_good(day)) continue;
    const PlanRow* own = nullptr;
    bool group_volume = false;
    for (const PlanRow& row : rows) {
      if (row.date != day || row.kind == DayKind::rest || !share_spacing(*m.models, row.lift, lift)) continue;
      if (row.lift == lift) own = &row;
      group_volume = group_volume || row.kind == DayKind::volume;
    }
    Move move{.to_date = day, .kind = DayKind::heavy};
    if (own != nullptr && (own->kind == DayKind::speed || own->kind == DayKind::light)) {
      move.displaced = Displaced{.kind = own->kind, .to_date = m.today};
      return move;
    }
    if (own == nullptr && !group_volume) {
      if (!free) free = move;
    } else if (!replacing) {
      move.displaced = Displaced{.kind = DayKind::volume, .to_date = std::nullopt};
      replacing = move;
    }
  }
  return free ? free : replacing;
}

}  // namespace

int days_apart_written(const Morning& m) {
  return whole_days(m.models->limits.spacing.heavy_hours);
}

int days_apart_moved(const Morning& m) {
  const auto& spacing = m.models->limits.spacing;
  return whole_days(is_master(m) ? std::max(spacing.masters_hours, spacing.heavy_hours) : spacing.heavy_hours);
}

bool clashes(const Morning& m, std::string_view lift, Day day, int apart, int apart_own) {
  const Models& models = *m.models;
  const bool done = std::any_of(m.lift_days.begin(), m.lift_days.end(), [&](const LiftDay& before) {
    return before.date < m.today && days_between(before.date, day) < apart && is_heavy(before, models) &&
           share_spacing(models, before.lift, lift);
  });
  if (done) return true;
  const auto too_near = [&](const PlanRow& row) {
    return std::abs(days_between(row.date, day)) < (row.lift == lift ? apart_own : apart) && is_heavy(row, models) &&
           share_spacing(models, row.lift, lift);
  };
  const auto& plan = m.log->plan;
  return std::any_of(m.ahead.begin(), m.ahead.end(), too_near) ||
         std::any_of(plan.begin(), plan.end(),
                     [&](const PlanRow& row) { return row.date == m.today && row.lift != lift && too_near(row); });
}

std::optional<Move> find_place(const Morning& m, std::string_view lift, int earliest) {
  const int apart = days_apart_moved(m);
  return best_place(m, lift, earliest, [&](Day day) { return !clashes(m, lift, day, apart, apart); });
}

bool bears_more(const Morning& m, const Signs& signs, std::string_view lift, Day day) {
  const auto& limits = m.models->limits;
  const LiftModel* model = m.models->lifts.find(lift);
  if (signs.stop || signs.closes(lift) != nullptr) return false;
  const bool sore = std::any_of(signs.watched.begin(), signs.watched.end(), [&](const PainWatch& pain) {
    return pain.lighter && model != nullptr && loads_region(*model, pain.region);
  });
  const auto ill = signs.rest_only || signs.cold ? std::optional(m.today) : signs.last_ill;
  const bool new_to_it = m.training_years && *m.training_years < limits.age.beginner_years;
  const bool coming_back = m.layoff && m.today - m.layoff->first_session_after.value_or(m.today) < Days{7};
  return !sore && !is_minor(m) && !new_to_it && !coming_back &&
         (!ill || days_between(*ill, day) > limits.illness.after_days) &&
         m.period.value_or(Intent::hard) == Intent::hard;
}

std::optional<Move> catch_up_place(const Morning& m, const Signs& signs, const PlanRow& missed, int earliest) {
  const auto last = last_heavy_of(m, missed.lift);
  if (!last) return std::nullopt;
  const int apart = days_apart_moved(m);
  const auto next = std::find_if(m.ahead.begin(), m.ahead.end(), [&](const PlanRow& row) {
    return row.lift == missed.lift && is_heavy(row, *m.models);
  });
  const auto good = [&](Day day) {
    if (next != m.ahead.end() && day >= next->date) return false;  // the next heavy day is then the one that counts
    const bool same_week = iso_week(day) == iso_week(missed.date);
    return days_between(*last, day) >= m.models->limits.exposure.days && bears_more(m, signs, missed.lift, day) &&
           !clashes(m, missed.lift, day, apart, same_week ? apart : apart + 1);
  };
  auto place = best_place(m, missed.lift, earliest, good);
  if (place && place->displaced) place->displaced->to_date.reset();
  return place;
}

}  // namespace steelyard::decide
