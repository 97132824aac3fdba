#pragma once
/// The service without its sockets: a request and a store in, an answer out.
/// definition  Answers of reads are byte by byte what the command line prints with --json. Errors are problem details
///             (RFC 9457) with our code names. Every read has an ETag and honours If-None-Match. A POST with an
///             Idempotency-Key is done once; the same key and body again gets the first answer again.
/// access      A token as Bearer, or the cookie of a log-in. While no token was ever made and the service listens on
///             this machine only, the person at the machine needs none. A change that a browser sends from another
///             site is refused.
/// thread safety  handle() may run on several threads at once, each with its own context

#include <chrono>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/app/access.hpp"
#include "steelyard/app/context.hpp"
#include "steelyard/serve/http.hpp"

namespace steelyard::serve {

/// A file of the page; the bytes live as long as the program.
struct Asset {
  std::string_view bytes;
  std::string_view content_type;
  std::string_view etag;  ///< without quotes
};
using AssetFinder = std::function<std::optional<Asset>(std::string_view path)>;

struct ApiOptions {
  bool open_here = true;        ///< without any token the machine's own address may do everything
  bool secure = false;          ///< behind TLS: cookies are marked Secure
  bool behind_proxy = false;    ///< the last X-Forwarded-For is the peer
  int session_hours = 24 * 30;  ///< of a log-in on the page
  AssetFinder assets = {};
  /// Answers about one athlete are kept until the store changes. Only where the reading connection never writes.
  bool keep_answers = false;
};

/// On which connection to the store a request has to run.
enum class Lane { none, read, write };

/// Counts for /metrics; nothing in it says anything about a person.
class Metrics {
 public:
  void count_request(std::string_view route, int status, std::chrono::microseconds took);
  void count(std::string_view name, double by = 1);  ///< a counter, by its full name
  void set(std::string_view name, double value);     ///< a gauge
  [[nodiscard]] std::string text() const;            ///< OpenMetrics 1.0

 private:
  struct Series {
    std::map<int, double> by_status;
    std::vector<double> buckets;
    double seconds = 0;
    double n = 0;
  };
  mutable std::mutex mutex_;
  std::map<std::string, Series, std::less<>> routes_;
  std::map<std::string, double, std::less<>> counters_;
  std::map<std::string, double, std::less<>> gauges_;
};

/// Slows somebody who tries secrets: after five failures each further try has to wait, twice as long every time.
class Throttle {
 public:
  /// Seconds until the next try is answered; 0 = now.
  [[nodiscard]] int wait(const std::string& peer, Instant now);
  void failed(const std::string& peer, Instant now);
  void succeeded(const std::string& peer);

 private:
  struct Tries {
    int failures = 0;
    Instant last{};
  };
  std::mutex mutex_;
  std::map<std::string, Tries> peers_;
};

/// Answers of reads for as long as nothing that they were made from has changed.
class KeptAnswers {
 public:
  /// What an answer was made from; `minute`, since without a date an answer is about today.
  struct Stamp {
    std::int64_t store_version = 0;
    const Models* models = nullptr;
    std::int64_t minute = 0;
    friend bool operator==(const Stamp&, const Stamp&) = default;
  };
  [[nodiscard]] std::optional<Response> find(const std::string& key, const Stamp& stamp);
  void keep(const std::string& key, const Stamp& stamp, const Response& response);

 private:
  std::mutex mutex_;
  Stamp stamp_;
  std::size_t bytes_ = 0;
  std::map<std::string, Response> answers_;
};

class Exchange;

class Api {
 public:
  explicit Api(ApiOptions options) : options_(std::move(options)) {}

  [[nodiscard]] static Lane lane_of(const Request& request);
  /// Most bytes of body that the route of a request takes.
  [[nodiscard]] static std::size_t body_limit(std::string_view method, std::string_view target);

  /// `context` may be null on Lane::none.
  [[nodiscard]] Response handle(const Request& request, app::Context* context);
  /// Whether the body of a request may be sent, by its head alone. returns  the refusal; none = `caller` is set, to
  /// what tells callers apart
  [[nodiscard]] std::optional<Response> admit(const Request& head, app::Context& context, std::string& caller);

  /// Looks at people's data since the last call, to be written down on a connection that may write.
  [[nodiscard]] std::vector<store::Access> take_accesses();
  /// Puts lines back that could not be written yet.
  void give_back(const std::vector<store::Access>& accesses);
  [[nodiscard]] Metrics& metrics() { return metrics_; }
  [[nodiscard]] const ApiOptions& options() const { return options_; }
  /// Before the first request: nobody comes in without a token, even if none was ever made.
  void ask_for_tokens() { options_.open_here = false; }

 private:
  friend class Exchange;
  [[nodiscard]] Result<Response> read(Exchange& x);
  /// What `then` answers, or why the request is not answered at all. `route` gets a name for the metrics.
  [[nodiscard]] Response enter(const Request& request, app::Context* context, std::string& route,
                               const std::function<Response(Exchange&)>& then);
  [[nodiscard]] Response answer(Exchange& x);
  void count(const std::string& route, Response& response, std::chrono::steady_clock::time_point begun);

  ApiOptions options_;
  Metrics metrics_;
  Throttle throttle_;
  KeptAnswers kept_;
  std::mutex mutex_;
  std::vector<store::Access> accesses_;
};

/// The OpenAPI 3.1 document of the routes.
[[nodiscard]] std::string openapi_json();

}  // namespace steelyard::serve
