#include <algorithm>

#include "serve/routes.hpp"

namespace steelyard::serve {

std::optional<std::string> Exchange::query(std::string_view name) const {
  const auto found = target.query.find(std::string(name));
  return found == target.query.end() ? std::nullopt : std::optional(found->second);
}

Result<std::optional<Day>> Exchange::date(std::string_view name) const {
  const auto text = query(name);
  if (!text) return std::nullopt;
  const auto day = parse_day(*text);
  if (!day) return fail(Errc::usage, day.error().what, std::string(name));
  return *day;
}

Result<std::optional<IsoWeek>> Exchange::week(std::string_view name) const {
  const auto text = query(name);
  if (!text) return std::nullopt;
  const auto week = parse_iso_week(*text);
  if (!week) return fail(Errc::usage, week.error().what, std::string(name));
  return *week;
}

Result<Day> Exchange::day() const {
  STEELYARD_TRY_ASSIGN(const auto asked, date("date"));
  return app::day_for(context(), athlete(), asked);
}

Result<Day> Exchange::day_in(Body& body) const {
  const auto text = body.take("date");
  if (!text) return app::day_for(context(), athlete(), std::nullopt);
  const auto day = parse_day(*text);
  if (!day) return fail(Errc::bad_data, day.error().what, "date");
  return *day;
}

Result<Body> Exchange::body() const {
  const auto type = request.header("content-type").value_or("");
  if (!request.body.empty() && !type.starts_with("application/json")) {
    return fail(Errc::bad_data, "the body must be sent as application/json", "content-type");
  }
  STEELYARD_TRY_ASSIGN(Body body, Body::parse(request.body));
  std::vector<KnownKey> known;
  if (route.row) known = row_keys(*route.row);
  for (const BodyKey& key : route.body) known.push_back({key.name, key.takes});
  STEELYARD_TRY(body.expect_only(known));
  return body;
}

void Exchange::saw(std::string_view code) {
  if (std::find(seen_.begin(), seen_.end(), code) == seen_.end()) seen_.emplace_back(code);
}

std::vector<store::Access> Exchange::accesses(int status) const {
  std::vector<store::Access> all;
  const auto add = [&](const std::string& code) {
    all.push_back({.at = context().now,
                   .token = caller.token,
                   .athlete = code,
                   .what = std::string(route.method) + ' ' + std::string(route.path),
                   .status = status});
  };
  if (athlete_row) add(athlete_row->athlete);
  for (const auto& code : seen_) add(code);
  return all;
}

}  // namespace steelyard::serve
