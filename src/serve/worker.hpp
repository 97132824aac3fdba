#pragma once
/// A thread that does one job after the other.

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>

namespace steelyard::serve {

class Worker {
 public:
  using Job = std::function<void()>;

  Worker() : thread_([this] { run(); }) {}
  Worker(const Worker&) = delete;
  Worker& operator=(const Worker&) = delete;
  ~Worker() { finish(); }

  void post(Job job) {
    {
      const std::lock_guard lock(mutex_);
      jobs_.push_back(std::move(job));
    }
    wake_.notify_one();
  }

  /// Does what is waiting and ends. Nothing may be posted afterwards.
  void finish() {
    {
      const std::lock_guard lock(mutex_);
      ending_ = true;
    }
    wake_.notify_one();
    if (thread_.joinable()) thread_.join();
  }

 private:
  void run() {
    std::unique_lock lock(mutex_);
    for (;;) {
      wake_.wait(lock, [this] { return ending_ || !jobs_.empty(); });
      if (jobs_.empty()) return;
      const Job job = std::move(jobs_.front());
      jobs_.pop_front();
      lock.unlock();
      job();
      lock.lock();
    }
  }

  std::mutex mutex_;
  std::condition_variable wake_;
  std::deque<Job> jobs_;
  bool ending_ = false;
  std::thread thread_;  // last: it uses the others
};

}  // namespace steelyard::serve
