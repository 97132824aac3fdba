#include "steelyard/fit/bytes.hpp"
#include "steelyard/learn/learner.hpp"

namespace steelyard::learn {
namespace {

constexpr std::uint8_t k_state_version = 3;

void put_text(fit::ByteWriter& out, std::string_view text) {
  out.number(static_cast<double>(text.size()));
  out.text(text);
}

void put_maybe(fit::ByteWriter& out, const std::optional<double>& value) {
  out.byte(value ? 1 : 0);
  out.number(value.value_or(0));
}

void put_work(fit::ByteWriter& out, const WorkState& work) {
  out.number(work.known_days);
  out.number(work.sum);
  put_maybe(out, work.usual);
  out.number(day_number(work.settled));
  for (const double x : work.slow) out.number(x);
  for (const double x : work.fast) out.number(x);
}

void put_tally(fit::ByteWriter& out, const Tally& tally) {
  out.number(tally.n);
  out.number(tally.learner);
  out.number(tally.usual28);
  out.number(tally.scatter);
}

/// Reads with a length check: past the end everything is zero or empty and `damaged` is set.
class Reader {
 public:
  explicit Reader(std::string_view bytes) : in_(bytes), left_(bytes.size()) {}
  std::uint8_t byte() { return take(1) ? in_.byte() : std::uint8_t{0}; }
  double number() { return take(8) ? in_.number() : 0; }
  int whole() {
    const double x = number();
    if (x >= -1e9 && x <= 1e9) return static_cast<int>(x);
    damaged_ = true;
    return 0;
  }
  std::string_view text() {
    const double size = number();
    if (!(size >= 0) || size > static_cast<double>(left_)) {
      damaged_ = true;
      return {};
    }
    const auto n = static_cast<std::size_t>(size);
    left_ -= n;
    return in_.text(n);
  }
  std::optional<double> maybe() {
    const bool there = byte() == 1;
    const double value = number();
    return there ? std::optional(value) : std::nullopt;
  }
  [[nodiscard]] bool is_whole() const { return !damaged_ && left_ == 0; }
  [[nodiscard]] bool is_damaged() const { return damaged_; }

 private:
  bool take(std::size_t n) {
    if (left_ < n) damaged_ = true;
    if (damaged_) return false;
    left_ -= n;
    return true;
  }
  fit::ByteReader in_;
  std::size_t left_;
  bool damaged_ = false;
};

WorkState get_work(Reader& in) {
  WorkState work;
  work.known_days = in.whole();
  work.sum = in.number();
  work.usual = in.maybe();
  work.settled = day_from_number(in.whole());
  for (double& x : work.slow) x = in.number();
  for (double& x : work.fast) x = in.number();
  return work;
}

Tally get_tally(Reader& in) {
  Tally tally;
  tally.n = in.whole();
  tally.learner = in.number();
  tally.usual28 = in.number();
  tally.scatter = in.number();
  return tally;
}

}  // namespace

std::string Learner::save(const LearnedState& state) const {
  fit::ByteWriter out;
  out.byte(k_state_version);
  out.byte(state.through ? 1 : 0);
  out.number(state.through ? day_number(*state.through) : 0);
  out.number(static_cast<double>(state.lifts.size()));
  for (const LiftState& lift : state.lifts) {
    put_text(out, lift.lift);
    put_maybe(out, lift.reference_kg);
    put_work(out, lift.work);
    put_text(out, response(lift.lift).save(lift.response));
    out.number(lift.log_spread);
    out.number(lift.sessions);
    for (const int n : lift.entered) out.number(n);
    put_tally(out, lift.tally);
    for (const PastChances& past : lift.chances) {
      out.number(past.n);
      for (const double chance : past.value) out.number(chance);
    }
  }
  for (std::size_t i = 0; i < state.items.size(); ++i) {
    const ItemTargetState& item = state.items[i];
    out.byte(item.started ? 1 : 0);
    if (!item.started) continue;
    put_work(out, item.work);
    put_text(out, items_[i].save(item.response));
    out.number(item.log_spread);
    out.number(item.values);
    out.number(item.sum);
    put_tally(out, item.tally);
  }
  return std::move(out).bytes();
}

Result<LearnedState> Learner::load(std::string_view bytes) const {
  const auto damaged = [] {
    return fail(Errc::bad_data,
                "a stored state of the learner is damaged or from another version; it must be learned anew");
  };
  Reader in(bytes);
  if (in.byte() != k_state_version) return damaged();
  LearnedState state;
  const bool has_day = in.byte() == 1;
  const Day through = day_from_number(in.whole());
  if (has_day) state.through = through;
  const int lifts = in.whole();
  for (int i = 0; i < lifts && !in.is_damaged(); ++i) {
    LiftState lift;
    lift.lift = std::string(in.text());
    lift.reference_kg = in.maybe();
    lift.work = get_work(in);
    STEELYARD_TRY_ASSIGN(lift.response, response(lift.lift).load(in.text()));
    lift.log_spread = in.number();
    lift.sessions = in.whole();
    for (int& n : lift.entered) n = in.whole();
    lift.tally = get_tally(in);
    for (PastChances& past : lift.chances) {
      past.n = in.whole();
      for (double& chance : past.value) chance = in.number();
    }
    state.lifts.push_back(std::move(lift));
  }
  for (std::size_t i = 0; i < state.items.size() && !in.is_damaged(); ++i) {
    ItemTargetState& item = state.items[i];
    item.started = in.byte() == 1;
    if (!item.started) continue;
    item.work = get_work(in);
    STEELYARD_TRY_ASSIGN(item.response, items_[i].load(in.text()));
    item.log_spread = in.number();
    item.values = in.whole();
    item.sum = in.number();
    item.tally = get_tally(in);
  }
  if (!in.is_whole()) return damaged();
  return state;
}

}  // namespace steelyard::learn
