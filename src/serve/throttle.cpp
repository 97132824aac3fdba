#include <algorithm>

#include "steelyard/serve/api.hpp"

namespace steelyard::serve {
namespace {

constexpr int k_free_failures = 5;
constexpr int k_longest_wait = 300;              // seconds; common practice
constexpr std::chrono::seconds k_forgiven{900};  // without a further failure
constexpr std::size_t k_most_peers = 10'000;

int wait_after(int failures) {
  const int beyond = failures - k_free_failures;
  return beyond < 0 ? 0 : beyond >= 9 ? k_longest_wait : std::min(k_longest_wait, 1 << beyond);
}

}  // namespace

int Throttle::wait(const std::string& peer, Instant now) {
  const std::lock_guard lock(mutex_);
  const auto found = peers_.find(peer);
  if (found == peers_.end()) return 0;
  const auto until = found->second.last + std::chrono::seconds{wait_after(found->second.failures)};
  // A clock that was set back must not lock anybody out for longer than the longest wait.
  if (now < found->second.last) found->second.last = now;
  return now >= until ? 0 : static_cast<int>((until - now).count());
}

void Throttle::failed(const std::string& peer, Instant now) {
  const std::lock_guard lock(mutex_);
  if (peers_.size() >= k_most_peers && !peers_.contains(peer)) {
    std::erase_if(peers_, [&](const auto& p) { return now - p.second.last > k_forgiven; });
    if (peers_.size() >= k_most_peers) peers_.clear();
  }
  Tries& tries = peers_[peer];
  if (now - tries.last > k_forgiven) tries.failures = 0;
  ++tries.failures;
  tries.last = now;
}

void Throttle::succeeded(const std::string& peer) {
  const std::lock_guard lock(mutex_);
  peers_.erase(peer);
}

}  // namespace steelyard::serve
