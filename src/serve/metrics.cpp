#include <fmt/format.h>

#include <array>

#include "serve/handlers.hpp"
#include "steelyard/app/show.hpp"

namespace steelyard::serve {
namespace {

/// Upper bounds of the histogram, seconds.
constexpr std::array k_bounds{0.001, 0.005, 0.025, 0.1, 0.5, 2.5};

std::string label(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\' || c == '"') out += '\\';
    out += c;
  }
  return out;
}

}  // namespace

void Metrics::count_request(std::string_view route, int status, std::chrono::microseconds took) {
  const std::lock_guard lock(mutex_);
  auto found = routes_.find(route);
  if (found == routes_.end()) found = routes_.emplace(route, Series{}).first;
  Series& series = found->second;
  series.by_status[status] += 1;
  series.buckets.resize(k_bounds.size());
  const double seconds = std::chrono::duration<double>(took).count();
  for (std::size_t i = 0; i < k_bounds.size(); ++i) series.buckets[i] += seconds <= k_bounds[i] ? 1 : 0;
  series.seconds += seconds;
  series.n += 1;
}

void Metrics::count(std::string_view name, double by) {
  const std::lock_guard lock(mutex_);
  counters_[std::string(name)] += by;
}

void Metrics::set(std::string_view name, double value) {
  const std::lock_guard lock(mutex_);
  gauges_[std::string(name)] = value;
}

/// source  OpenMetrics 1.0 text format: families with TYPE, counters end in _total, the text ends with "# EOF"
std::string Metrics::text() const {
  const std::lock_guard lock(mutex_);
  std::string out = "# TYPE steelyard_requests counter\n";
  for (const auto& [route, series] : routes_) {
    for (const auto& [status, n] : series.by_status) {
      out += fmt::format("steelyard_requests_total{{route=\"{}\",status=\"{}\"}} {}\n", label(route), status, n);
    }
  }
  out += "# TYPE steelyard_request_seconds histogram\n# UNIT steelyard_request_seconds seconds\n";
  for (const auto& [route, series] : routes_) {
    const std::string name = label(route);
    for (std::size_t i = 0; i < k_bounds.size(); ++i) {
      out += fmt::format("steelyard_request_seconds_bucket{{route=\"{}\",le=\"{}\"}} {}\n", name, k_bounds[i],
                         series.buckets[i]);
    }
    out += fmt::format("steelyard_request_seconds_bucket{{route=\"{}\",le=\"+Inf\"}} {}\n", name, series.n);
    out += fmt::format("steelyard_request_seconds_count{{route=\"{}\"}} {}\n", name, series.n);
    out += fmt::format("steelyard_request_seconds_sum{{route=\"{}\"}} {}\n", name, series.seconds);
  }
  for (const auto& [name, n] : counters_) out += fmt::format("# TYPE {0} counter\n{0}_total {1}\n", name, n);
  for (const auto& [name, value] : gauges_) out += fmt::format("# TYPE {0} gauge\n{0} {1}\n", name, value);
  return out + "# EOF\n";
}

Result<Response> get_metrics(Exchange& x) {
  return Response{.status = 200,
                  .headers = {{"content-type", "application/openmetrics-text; version=1.0.0; charset=utf-8"}},
                  .body = x.api.metrics().text()};
}

Result<Response> get_health(Exchange& x) {
  STEELYARD_TRY(x.context().store.service().tokens());  // a read of the store
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("status", "ok").end_object();
  return json_response(std::move(json));
}

}  // namespace steelyard::serve
