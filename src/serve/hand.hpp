#pragma once
/// The work that nobody asks for: inbox and briefings, on a thread and a connection to the store of its own. Of several
/// services on one store one does it, by a lease in the store.

#include <atomic>
#include <boost/asio/steady_timer.hpp>
#include <memory>
#include <mutex>
#include <optional>
#include <set>
#include <string>

#include "serve/briefings.hpp"
#include "serve/inbox.hpp"
#include "serve/watch.hpp"
#include "serve/worker.hpp"
#include "steelyard/serve/daemon.hpp"

namespace steelyard::serve {

/// How long the lease holds without being prolonged, and how often it is.
inline constexpr std::chrono::seconds k_lease{60};
inline constexpr std::chrono::seconds k_beat{15};

class Hand {
 public:
  using Models = std::function<std::shared_ptr<const steelyard::Models>()>;

  Hand(boost::asio::io_context& loop, const DaemonOptions& options, std::function<Instant()> clock, Models models,
       Metrics& metrics);

  /// errors  those of the inbox, the watch, the outbox and the store
  [[nodiscard]] Result<void> start();
  void set(const Reloadable& reloadable);
  /// Begins nothing new.
  void stop();
  /// Gives up what is under way.
  void stop_at_once() { at_once_ = true; }
  [[nodiscard]] bool is_idle() const { return jobs_ == 0; }
  /// After is_idle(): lets the lease go.
  void finish();

 private:
  void look(std::set<std::string> moved_in);
  void look_now();
  void beat();
  void beat_now();
  [[nodiscard]] Result<bool> hold_lease();
  [[nodiscard]] app::Context context(const steelyard::Models& models);
  void post(Worker::Job job);
  void tell(std::string_view event, const std::vector<Error>& errors);

  boost::asio::io_context& loop_;
  const DaemonOptions& options_;
  std::function<Instant()> clock_;
  Models models_;
  Metrics& metrics_;
  const std::string holder_;
  std::unique_ptr<store::Store> store_;
  std::optional<Inbox> inbox_;
  std::optional<FolderWatch> watch_;
  boost::asio::steady_timer again_;
  boost::asio::steady_timer beat_;
  std::mutex mutex_;
  std::set<std::string> moved_in_;  ///< names for the next look
  BriefingOptions briefings_;
  std::set<std::string> told_;  ///< errors that were logged and still hold
  std::atomic<bool> look_waits_{false};
  std::atomic<int> jobs_{0};
  std::atomic<bool> stopping_{false};
  std::atomic<bool> at_once_{false};
  std::unique_ptr<Worker> worker_;
};

}  // namespace steelyard::serve
