#include "steelyard/serve/daemon.hpp"

#include <fmt/core.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include <algorithm>
#include <atomic>
#include <boost/asio/ip/address.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <csignal>
#include <cstdlib>

#include "serve/hand.hpp"
#include "serve/later_store.hpp"
#include "serve/log.hpp"
#include "serve/notify.hpp"
#include "serve/server.hpp"
#include "serve/worker.hpp"
#include "steelyard/app/models.hpp"
#include "steelyard/app/settings.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::serve {

namespace asio = boost::asio;

namespace {

constexpr std::chrono::seconds k_flush{1};           // how long a line about an access may wait
constexpr std::chrono::milliseconds k_finish{3000};  // until a stop gives up an import that is under way
constexpr std::chrono::milliseconds k_stop{4500};    // until a stop waits for nothing any more
constexpr std::chrono::seconds k_queue{5};           // how long a change waits for its turn
using Clock = std::chrono::steady_clock;

Instant machine_clock() {
  return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
}

/// The models in force; a reload exchanges them as a whole.
class ModelsInForce {
 public:
  Result<void> load(const std::optional<std::string>& folder) {
    STEELYARD_TRY_ASSIGN(auto models, app::find_models(folder));
    const std::lock_guard lock(mutex_);
    models_ = std::make_shared<const Models>(std::move(models));
    return {};
  }
  [[nodiscard]] std::shared_ptr<const Models> get() const {
    const std::lock_guard lock(mutex_);
    return models_;
  }

 private:
  mutable std::mutex mutex_;
  std::shared_ptr<const Models> models_;
};

class Daemon {
 public:
  explicit Daemon(const DaemonOptions& options);
  Result<void> run();

 private:
  Result<void> check_address();
  Result<void> open();
  void dispatch(Request&& request, std::function<void(Response&&)> done);
  void admit(Request&& head, std::function<void(Admission&&)> done);
  Response answer_read(const Request& request);
  Response answer_write(const Request& request);
  void flush();
  void save_by_products();
  void wait_for_signals();
  void reload();
  void stop();
  void drain();
  void tick();
  void watch();

  DaemonOptions options_;
  std::function<Instant()> clock_;
  std::vector<int> sockets_;  ///< that a manager has opened, instead of the address
  Api api_;
  ModelsInForce models_;
  std::unique_ptr<store::Store> reads_;
  std::unique_ptr<store::Store> writes_;
  std::unique_ptr<store::Store> saves_store_;
  asio::io_context loop_{1};
  asio::signal_set signals_{loop_};
  asio::steady_timer tick_{loop_};
  asio::steady_timer watch_{loop_};
  asio::steady_timer deadline_{loop_};
  std::unique_ptr<Server> server_;
  std::unique_ptr<Worker> reader_;
  std::unique_ptr<Worker> writer_;
  std::unique_ptr<Worker> saver_;  ///< apart from the writer: nobody waits for a change because of a by-product
  std::unique_ptr<Hand> hand_;
  SavedBefore saved_before_;  ///< of the reading thread
  WaitingSaves saves_;
  std::atomic<bool> flush_waits_{false};
  bool stopping_ = false;
  bool hand_finishes_ = false;
  std::atomic<bool> hand_finished_{false};
  std::chrono::steady_clock::time_point stop_begun_{};
};

ApiOptions api_options(const DaemonOptions& o) {
  return {.secure = !o.certificate.empty(), .behind_proxy = o.behind_proxy, .assets = o.assets, .keep_answers = true};
}

Daemon::Daemon(const DaemonOptions& options)
    : options_(options), clock_(options.clock ? options.clock : machine_clock), api_(api_options(options)) {}

/// Outside this machine: only with tokens, and only where nobody can listen in.
Result<void> Daemon::check_address() {
  boost::system::error_code code;
  const auto address = asio::ip::make_address(options_.address, code);
  if (code) {
    return fail(Errc::usage, fmt::format("{} is not an IP address", in_quotes(options_.address)), "--listen");
  }
  if (options_.certificate.empty() != options_.key.empty()) {
    return fail(Errc::usage, "--certificate and --key go together");
  }
  app::Context context{*writes_, *models_.get(), clock_()};
  STEELYARD_TRY_ASSIGN(const bool has_tokens, app::needs_token(context));
  const bool outside =
      sockets_.empty() ? !address.is_loopback() : !std::all_of(sockets_.begin(), sockets_.end(), is_loopback_socket);
  if (outside || options_.behind_proxy) api_.ask_for_tokens();
  if ((outside || options_.behind_proxy) && !has_tokens) {
    return fail(Errc::usage,
                "this can be reached from outside the machine, so tokens are needed; 'steelyard token add' makes one",
                outside ? "--listen" : "--behind-proxy");
  }
  if (outside && options_.certificate.empty() && !options_.behind_proxy) {
    return fail(Errc::usage,
                "entries would go over the network for everybody to read: give --certificate and --key, or "
                "--behind-proxy if another program does the encryption",
                "--listen");
  }
  return {};
}

Result<void> Daemon::open() {
  STEELYARD_TRY(models_.load(options_.reloadable.models));
  STEELYARD_TRY_ASSIGN(writes_, app::open_store(options_.data));
  STEELYARD_TRY_ASSIGN(reads_, app::open_store(options_.data));
  STEELYARD_TRY_ASSIGN(saves_store_, app::open_store(options_.data));
  sockets_ = handed_sockets();
  STEELYARD_TRY(check_address());
  server_ = std::make_unique<Server>(
      loop_,
      ServerOptions{.address = options_.address,
                    .port = options_.port,
                    .sockets = sockets_,
                    .certificate = options_.certificate,
                    .key = options_.key},
      Backend{.dispatch = [this](Request&& request, auto done) { dispatch(std::move(request), std::move(done)); },
              .admit = [this](Request&& head, auto done) { admit(std::move(head), std::move(done)); },
              .body_limit = Api::body_limit});
  if (!options_.inbox.empty() || !options_.outbox.empty()) {
    hand_ = std::make_unique<Hand>(
        loop_, options_, clock_, [this] { return models_.get(); }, api_.metrics());
    STEELYARD_TRY(hand_->start());
  }
  return server_->start();
}

void Daemon::dispatch(Request&& request, std::function<void(Response&&)> done) {
  switch (Api::lane_of(request)) {
    case Lane::none:
      return done(api_.handle(request, nullptr));
    case Lane::read:
      return reader_->post(
          [this, request = std::move(request), done = std::move(done)] { done(answer_read(request)); });
    case Lane::write:
      return writer_->post([this, request = std::move(request), done = std::move(done), came = Clock::now()] {
        // Behind others that waited for the store in vain, nobody waits as long as they did once more.
        done(Clock::now() - came > k_queue ? problem(503, "busy", "the store is busy; try again in a moment")
                                           : answer_write(request));
      });
  }
}

/// Whatever a request may break inside, it is one answer and not the service.
template <class Work>
Response guarded(Work work) {
  try {
    return work();
  } catch (const std::exception& error) {
    log(Level::error, "fault", {{"why", error.what()}});
    return problem(500, "failed", "this is a fault of the program, please report it");
  }
}

void Daemon::admit(Request&& head, std::function<void(Admission&&)> done) {
  reader_->post([this, head = std::move(head), done = std::move(done)] {
    Admission admission;
    Response faulty = guarded([&] {
      const auto models = models_.get();
      app::Context context{*reads_, *models, clock_()};
      admission.refusal = api_.admit(head, context, admission.caller);
      return Response{};
    });
    if (faulty.status >= 500) admission.refusal = std::move(faulty);
    done(std::move(admission));
  });
}

Response Daemon::answer_read(const Request& request) {
  return guarded([&] {
    LaterStore store(*reads_, saved_before_);
    const auto models = models_.get();
    app::Context context{store, *models, clock_()};
    Response response = api_.handle(request, &context);
    auto saves = store.take();
    if (saves.empty()) return response;
    saves_.add(std::move(saves));
    flush();
    return response;
  });
}

Response Daemon::answer_write(const Request& request) {
  return guarded([&] {
    const auto models = models_.get();
    app::Context context{*writes_, *models, clock_()};
    return api_.handle(request, &context);
  });
}

/// Has everything written down that reading brought along, once however often it is asked for.
void Daemon::flush() {
  if (flush_waits_.exchange(true)) return;
  saver_->post([this] {
    flush_waits_ = false;
    save_by_products();
  });
}

void Daemon::save_by_products() {
  auto saves = saves_.take();
  const auto accesses = api_.take_accesses();
  if (saves.empty() && accesses.empty()) return;
  const auto write = [&]() -> Result<void> {
    STEELYARD_TRY_ASSIGN(const auto work, saves_store_->service().begin_work());
    // Of somebody who was erased meanwhile nothing may come back.
    STEELYARD_TRY_ASSIGN(const auto athletes, saves_store_->athletes());
    const auto is_there = [&](const std::string& code) {
      return std::any_of(athletes.begin(), athletes.end(), [&](const Athlete& a) { return a.athlete == code; });
    };
    std::vector<store::Access> lines;
    std::copy_if(accesses.begin(), accesses.end(), std::back_inserter(lines),
                 [&](const store::Access& a) { return is_there(a.athlete); });
    STEELYARD_TRY(saves_store_->service().add_accesses(lines));
    for (const auto& save : saves) {
      if (is_there(save.athlete)) STEELYARD_TRY(save.run(*saves_store_));
    }
    return work->commit();
  };
  const auto written = write();
  if (written) return;
  log("not-saved-yet", written.error());
  api_.give_back(accesses);
  saves_.give_back(std::move(saves));
}

void Daemon::wait_for_signals() {
  signals_.async_wait([this](boost::system::error_code code, int number) {
    if (code) return;
    if (number == SIGHUP) {
      reload();
    } else {
      stop();
    }
    if (!stopping_) wait_for_signals();
  });
}

void Daemon::reload() {
  notify(fmt::format("RELOADING=1\nMONOTONIC_USEC={}", std::chrono::duration_cast<std::chrono::microseconds>(
                                                           std::chrono::steady_clock::now().time_since_epoch())
                                                           .count()));
  const auto load = [&]() -> Result<void> {
    Reloadable settings = options_.reloadable;
    if (options_.reread) {
      STEELYARD_TRY_ASSIGN(settings, options_.reread());
    }
    STEELYARD_TRY(server_->reload());
    STEELYARD_TRY(models_.load(settings.models));
    options_.reloadable = settings;
    if (hand_) hand_->set(settings);
    return {};
  };
  const auto loaded = load();
  if (loaded) {
    log(Level::info, "reloaded");
  } else {
    log(Level::error, "not-reloaded",
        {{"why", loaded.error().text()}, {"now", "what was in force before stays in force"}});
  }
  notify("READY=1");
}

void Daemon::stop() {
  if (stopping_) return;
  stopping_ = true;
  notify("STOPPING=1");
  log(Level::info, "stopping");
  stop_begun_ = std::chrono::steady_clock::now();
  server_->stop();
  if (hand_) hand_->stop();
  tick_.cancel();
  watch_.cancel();
  flush();  // whatever the end will be like
  deadline_.expires_after(k_stop);
  deadline_.async_wait([this](boost::system::error_code code) {
    if (code) return;
    log(Level::warning, "stopped-before-the-end",
        {{"connections", fmt::format("{}", server_->connections())}, {"now", "what was not stored is not answered"}});
    std::_Exit(0);  // the store takes back what was not committed, as after a power failure
  });
  drain();
}

/// Ends the waiting for the deadline once every connection has its answer and the lease is let go.
void Daemon::drain() {
  if (hand_ && !hand_finishes_ && hand_->is_idle()) {
    hand_finishes_ = true;
    saver_->post([this] {
      hand_->finish();
      hand_finished_ = true;
    });
  }
  if (server_->connections() == 0 && (!hand_ || hand_finished_)) {
    saver_->post([this] {
      save_by_products();
      asio::post(loop_, [this] { deadline_.cancel(); });
    });
    return;
  }
  if (std::chrono::steady_clock::now() - stop_begun_ > k_finish) {
    if (hand_) hand_->stop_at_once();
    server_->cut_off();
  }
  tick_.expires_after(std::chrono::milliseconds(20));
  tick_.async_wait([this](boost::system::error_code) { drain(); });
}

void Daemon::tick() {
  tick_.expires_after(k_flush);
  tick_.async_wait([this](boost::system::error_code code) {
    if (code) return;
    api_.metrics().set("steelyard_connections", static_cast<double>(server_->connections()));
    flush();
    tick();
  });
}

void Daemon::watch() {
  const auto interval = watchdog_interval();
  if (!interval) return;
  notify("WATCHDOG=1");
  watch_.expires_after(*interval);
  watch_.async_wait([this](boost::system::error_code code) {
    if (!code) watch();
  });
}

/// As many connections as the machine allows.
void raise_open_files() {
  rlimit files{};
  if (::getrlimit(RLIMIT_NOFILE, &files) != 0) return;
  files.rlim_cur = files.rlim_max;
  ::setrlimit(RLIMIT_NOFILE, &files);
}

Result<void> Daemon::run() {
  raise_open_files();
  ::umask(077);  // whatever is written is about people
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);  // a file that may not grow is an error of the store, not the end
  reader_ = std::make_unique<Worker>();
  writer_ = std::make_unique<Worker>();
  saver_ = std::make_unique<Worker>();
  STEELYARD_TRY(open());
  for (const int number : {SIGTERM, SIGINT, SIGHUP}) signals_.add(number);
  wait_for_signals();
  tick();
  watch();
  log(Level::info, "listening",
      {{"address", options_.address},
       {"port", fmt::format("{}", server_->port())},
       {"tls", options_.certificate.empty() ? "no" : "yes"}});
  notify("READY=1");
  loop_.run();
  reader_->finish();
  writer_->finish();
  saver_->finish();
  log(Level::info, "stopped");
  return {};
}

}  // namespace

Result<void> run_daemon(const DaemonOptions& options) {
  return Daemon(options).run();
}

}  // namespace steelyard::serve
