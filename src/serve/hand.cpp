#include "serve/hand.hpp"

#include <unistd.h>

#include <boost/asio/post.hpp>

#include "serve/log.hpp"
#include "serve/process_name.hpp"
#include "steelyard/app/folder.hpp"
#include "steelyard/app/settings.hpp"

namespace steelyard::serve {
namespace {

constexpr std::string_view k_lease_name = "hand";
/// With inotify a look is needed only for what it could not tell; without, this is how changes are found.
constexpr std::chrono::seconds k_spare_look{60};
constexpr std::chrono::seconds k_busy_pause{1};  // after the store was waited for in vain
constexpr std::chrono::hours k_keep_replies{24 * 7};
constexpr std::chrono::hours k_keep_accesses{24 * 400};

}  // namespace

Hand::Hand(boost::asio::io_context& loop, const DaemonOptions& options, std::function<Instant()> clock, Models models,
           Metrics& metrics)
    : loop_(loop),
      options_(options),
      clock_(std::move(clock)),
      models_(std::move(models)),
      metrics_(metrics),
      holder_(process_name(::getpid())),
      again_(loop),
      beat_(loop) {
  briefings_.outbox = options.outbox;
  set(options.reloadable);
}

void Hand::set(const Reloadable& reloadable) {
  const std::lock_guard lock(mutex_);
  briefings_.morning = reloadable.morning;
  briefings_.morning_of = reloadable.morning_of;
  briefings_.command = reloadable.command;
}

Result<void> Hand::start() {
  STEELYARD_TRY_ASSIGN(store_, app::open_store(options_.data));
  if (!options_.outbox.empty()) STEELYARD_TRY(app::make_folders(options_.outbox));
  if (!options_.inbox.empty()) {
    STEELYARD_TRY_ASSIGN(inbox_, Inbox::open({.folder = options_.inbox}));
    if (options_.inbox_poll == 0) {
      watch_.emplace(loop_, [this](std::set<std::string> moved_in) { look(std::move(moved_in)); });
      STEELYARD_TRY(watch_->start(options_.inbox));
    }
  }
  worker_ = std::make_unique<Worker>();
  look({});
  beat();
  return {};
}

void Hand::post(Worker::Job job) {
  ++jobs_;
  worker_->post([this, job = std::move(job)] {
    try {
      job();
    } catch (const std::exception& error) {
      log(Level::error, "fault", {{"why", error.what()}});
    }
    --jobs_;
  });
}

app::Context Hand::context(const steelyard::Models& models) {
  return {*store_, models, clock_()};
}

Result<bool> Hand::hold_lease() {
  const Instant now = clock_();
  store::Service& service = store_->service();
  STEELYARD_TRY_ASSIGN(bool ours, service.hold_lease(k_lease_name, holder_, now, now + k_lease));
  if (!ours) {
    STEELYARD_TRY_ASSIGN(const std::string other, service.lease_holder(k_lease_name));
    if (has_ended(other)) {
      STEELYARD_TRY(service.release_lease(k_lease_name, other));
      STEELYARD_TRY_ASSIGN(ours, service.hold_lease(k_lease_name, holder_, now, now + k_lease));
    }
  }
  metrics_.set("steelyard_leader", ours ? 1 : 0);
  return ours;
}

/// Says each error once, for as long as it stays the same.
void Hand::tell(std::string_view event, const std::vector<Error>& errors) {
  std::set<std::string> now;
  for (const Error& error : errors) {
    const std::string key = std::string(event) + error.what;
    if (!told_.contains(key) && !now.contains(key)) log(event, error);
    now.insert(key);
  }
  std::erase_if(told_, [&](const std::string& key) { return key.starts_with(event); });
  told_.merge(now);
}

// ------------------------------------------------------------------------------------------ inbox
void Hand::look(std::set<std::string> moved_in) {
  if (!inbox_ || stopping_) return;
  {
    const std::lock_guard lock(mutex_);
    moved_in_.merge(moved_in);
  }
  if (look_waits_.exchange(true)) return;
  post([this] {
    look_waits_ = false;
    look_now();
  });
}

void Hand::look_now() {
  if (stopping_) return;
  std::set<std::string> moved_in;
  {
    const std::lock_guard lock(mutex_);
    moved_in = std::exchange(moved_in_, {});
  }
  const auto models = models_();
  app::Context now = context(*models);
  auto report = [&]() -> Result<InboxReport> {
    STEELYARD_TRY_ASSIGN(const bool ours, hold_lease());
    if (!ours) return InboxReport{};
    return inbox_->look(
        now, std::chrono::steady_clock::now(), moved_in, [this] { return hold_lease(); },
        {.no_more = [this] { return stopping_.load(); }, .at_once = [this] { return at_once_.load(); }});
  }();
  std::chrono::milliseconds next = options_.inbox_poll > 0 ? std::chrono::seconds(options_.inbox_poll) : k_spare_look;
  if (report) {
    tell("inbox-waits", report->errors);
    metrics_.count("steelyard_inbox_done", static_cast<double>(report->done));
    metrics_.count("steelyard_inbox_rejected", static_cast<double>(report->rejected));
    metrics_.set("steelyard_inbox_waiting", static_cast<double>(report->waiting));
    if (report->done + report->rejected > 0) {
      log(Level::info, "inbox",
          {{"done", fmt::format("{}", report->done)}, {"rejected", fmt::format("{}", report->rejected)}});
    }
    if (report->waiting > 0) next = std::min(next, inbox_->options().settle);
  } else {
    tell("inbox", {report.error()});
    next = std::min(next, std::chrono::milliseconds(report.error().code == Errc::busy ? k_busy_pause : k_beat));
  }
  boost::asio::post(loop_, [this, next, moved_in = std::move(moved_in), failed = !report]() mutable {
    if (stopping_) return;
    if (failed) {  // what could not be looked at is still to be looked at
      const std::lock_guard lock(mutex_);
      moved_in_.merge(moved_in);
    }
    if (watch_ && !watch_->is_watching()) {
      const auto restarted = watch_->start(options_.inbox);
      if (restarted) log(Level::info, "inbox-watched-again");
    }
    again_.expires_after(next);
    again_.async_wait([this](boost::system::error_code code) {
      if (!code) look({});
    });
  });
}

// ------------------------------------------------------------------------------------------ briefings, upkeep
void Hand::beat() {
  if (stopping_) return;
  post([this] { beat_now(); });
  beat_.expires_after(k_beat);
  beat_.async_wait([this](boost::system::error_code code) {
    if (!code) beat();
  });
}

void Hand::beat_now() {
  if (stopping_) return;
  BriefingOptions options;
  {
    const std::lock_guard lock(mutex_);
    options = briefings_;
  }
  const auto models = models_();
  app::Context now = context(*models);
  std::vector<Error> errors;
  const auto work = [&]() -> Result<void> {
    STEELYARD_TRY_ASSIGN(const bool ours, hold_lease());
    if (!ours) return {};
    STEELYARD_TRY(store_->service().drop_replies(now.now - k_keep_replies));
    STEELYARD_TRY(store_->service().drop_accesses(now.now - k_keep_accesses));
    STEELYARD_TRY(store_->service().drop_sessions(now.now));
    if (options.outbox.empty()) return {};
    STEELYARD_TRY_ASSIGN(const auto made, make_briefings(now, options, [this] { return hold_lease(); }));
    STEELYARD_TRY_ASSIGN(const auto delivered, deliver_briefings(now, options, [this] { return stopping_.load(); }));
    errors = made.errors;
    errors.insert(errors.end(), delivered.errors.begin(), delivered.errors.end());
    metrics_.count("steelyard_briefings_made", static_cast<double>(made.made));
    metrics_.count("steelyard_briefings_delivered", static_cast<double>(delivered.delivered));
    if (delivered.given_up > 0) {
      log(Level::error, "briefing-given-up", {{"number", fmt::format("{}", delivered.given_up)}});
    }
    return {};
  };
  if (const auto worked = work(); !worked) errors.push_back(worked.error());
  tell("briefings", errors);
}

void Hand::stop() {
  stopping_ = true;
  if (watch_) watch_->stop();
  again_.cancel();
  beat_.cancel();
}

void Hand::finish() {
  if (worker_) worker_->finish();
  if (!store_) return;
  // Not let go, it ends by itself.
  [[maybe_unused]] const auto released = store_->service().release_lease(k_lease_name, holder_);
}

}  // namespace steelyard::serve
