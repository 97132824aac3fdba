#pragma once
/// What the service answers, as data: the dispatcher, the OpenAPI document and the tests read the same table.

#include <array>
#include <memory>
#include <span>
#include <string_view>

#include "serve/body.hpp"
#include "steelyard/serve/api.hpp"

namespace steelyard::serve {

/// nobody: everybody may; caller: a valid token; athlete: one who may see {a}; coach: a coach or the owner.
enum class Needs { nobody, caller, athlete, coach };

struct Parameter {
  std::string_view name;
  std::string_view meaning;
  std::string_view format;  ///< of JSON Schema: "date"; empty = any text
};

/// A key of a request's body.
struct BodyKey {
  std::string_view name;
  std::string_view meaning;
  Takes takes = Takes::text;
};

/// What a lifter must share for a coach to see the day's call.
inline constexpr std::array<std::string_view, 3> k_call_share{"load", "checks", "pain"};

class Exchange;
using Handler = Result<Response> (*)(Exchange& exchange);

struct Route {
  std::string_view method;
  std::string_view path;  ///< "{a}" stands for an athlete's code
  Needs needs = Needs::nobody;
  Lane lane = Lane::read;
  Handler handler = nullptr;
  std::string_view summary;
  std::span<const Parameter> query = {};
  std::span<const BodyKey> body = {};
  std::optional<RecordKind> row = {};            ///< the columns of this kind are keys of the body too
  std::span<const std::string_view> share = {};  ///< what a lifter must share for a coach to see it
  std::string_view answer = "application/json";
};

/// The columns of a row that a body may give: the athlete is that of the path.
[[nodiscard]] std::vector<KnownKey> row_keys(RecordKind kind);

[[nodiscard]] std::span<const Route> routes();
/// The route of a method and a path; null = none. `a` gets the athlete's code.
[[nodiscard]] const Route* find_route(std::string_view method, const Target& target, std::string* a = nullptr);

/// One request under way.
class Exchange {
 public:
  Exchange(Api& the_api, const Request& the_request, const Target& the_target, const Route& the_route,
           app::Context* the_context)
      : api(the_api), request(the_request), target(the_target), route(the_route), context_(the_context) {}

  Api& api;
  const Request& request;
  const Target& target;
  const Route& route;
  app::Caller caller;
  bool by_cookie = false;
  std::optional<Athlete> athlete_row;  ///< there if the route needs one
  std::string page_secret;             ///< of the cookie

  [[nodiscard]] Throttle& throttle() const { return api.throttle_; }
  [[nodiscard]] app::Context& context() const { return *context_; }
  [[nodiscard]] const Athlete& athlete() const { return *athlete_row; }
  [[nodiscard]] std::optional<std::string> query(std::string_view name) const;
  /// errors  usage, with the parameter's name
  [[nodiscard]] Result<std::optional<Day>> date(std::string_view name) const;
  [[nodiscard]] Result<std::optional<IsoWeek>> week(std::string_view name) const;
  /// ?date=, else today where the athlete lives.
  [[nodiscard]] Result<Day> day() const;
  /// The "date" of the body, else today where the athlete lives.
  [[nodiscard]] Result<Day> day_in(Body& body) const;
  /// The body, with no other keys than the table has for the route.
  /// errors  bad_data, usage
  [[nodiscard]] Result<Body> body() const;
  /// A look at somebody's data that is not the athlete of the path.
  void saw(std::string_view athlete);
  [[nodiscard]] std::vector<store::Access> accesses(int status) const;

 private:
  app::Context* context_;
  std::vector<std::string> seen_;
};

}  // namespace steelyard::serve
