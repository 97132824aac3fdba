#pragma once
/// One function a route; see routes.cpp for what each answers.

#include "serve/routes.hpp"

namespace steelyard::serve {

Result<Response> get_today(Exchange& x);
Result<Response> get_loads(Exchange& x);
Result<Response> get_strength(Exchange& x);
Result<Response> get_compare(Exchange& x);
Result<Response> get_ahead(Exchange& x);
Result<Response> get_why(Exchange& x);
Result<Response> get_questions(Exchange& x);
Result<Response> get_marks(Exchange& x);
Result<Response> get_plan(Exchange& x);
Result<Response> get_report(Exchange& x);
Result<Response> get_morning(Exchange& x);
Result<Response> get_mornings(Exchange& x);
Result<Response> get_bar(Exchange& x);
Result<Response> get_squad(Exchange& x);
Result<Response> get_athletes(Exchange& x);
Result<Response> get_week(Exchange& x);
Result<Response> get_week_decisions(Exchange& x);

Result<Response> post_checks(Exchange& x);
Result<Response> post_sessions(Exchange& x);
Result<Response> post_sets(Exchange& x);
Result<Response> post_bar(Exchange& x);
Result<Response> post_decisions(Exchange& x);
Result<Response> post_answers(Exchange& x);
Result<Response> post_days_off(Exchange& x);
Result<Response> post_clearances(Exchange& x);
Result<Response> post_week_decisions(Exchange& x);
Result<Response> post_ingest(Exchange& x);

Result<Response> get_login(Exchange& x);
Result<Response> post_login(Exchange& x);
Result<Response> delete_login(Exchange& x);
Result<Response> get_health(Exchange& x);
Result<Response> get_metrics(Exchange& x);
Result<Response> get_openapi(Exchange& x);

}  // namespace steelyard::serve
