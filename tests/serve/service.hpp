#pragma once
/// The service over a store in memory, asked without a socket.

#include <boost/json/parse.hpp>
#include <boost/json/value.hpp>

#include "app/bench.hpp"
#include "steelyard/app/access.hpp"
#include "steelyard/serve/api.hpp"

namespace steelyard::serve {

class ServiceBench : public app::Bench {
 protected:
  /// Three invented lifters, two of them in a group.
  void add_people() {
    read("athlete,units,weekdays,bar_kg,group\na1,kg,mon wed fri,20,club\na2,kg,mon wed fri,20,club\nb1,kg,,20,other\n",
         "athletes.csv");
    read("athlete,lift,from,training_max\na1,squat,2026-01-01,160\na2,squat,2026-01-01,120\n", "maxes.csv");
    read("athlete,date,lift,kind,sets,reps,percent,minutes\na1,2026-11-23,squat,heavy,3,3,85,75\n", "plan.csv");
  }

  Response send(Request request) {
    if (!request.header("host")) request.headers.emplace_back("host", "localhost:8080");
    return api.handle(request, &context);
  }
  Response get(const std::string& target, Headers headers = {}) {
    return send({.method = "GET", .target = target, .headers = std::move(headers), .body = {}, .peer = "127.0.0.1"});
  }
  Response post(const std::string& target, const std::string& body, Headers headers = {}) {
    headers.emplace_back("content-type", "application/json");
    return send({.method = "POST", .target = target, .headers = std::move(headers), .body = body, .peer = "127.0.0.1"});
  }
  Headers with(const std::string& token) { return {{"authorization", "Bearer " + token}}; }
  std::string lifter_token(const std::string& athlete) {
    return app::issue_token(context, {.role = app::Role::lifter, .athlete = athlete}).value().secret;
  }
  std::string coach_token(const std::string& group) {
    return app::issue_token(context, {.role = app::Role::coach, .group = group}).value().secret;
  }

  static std::string header(const Response& response, std::string_view name) {
    for (const auto& [key, value] : response.headers) {
      if (key == name) return value;
    }
    return {};
  }
  static boost::json::value json(const Response& response) { return boost::json::parse(response.body); }
  static std::string text(const Response& response, std::string_view key) {
    return json(response).at(key).as_string().c_str();
  }

  Api api{ApiOptions{}};
};

}  // namespace steelyard::serve
