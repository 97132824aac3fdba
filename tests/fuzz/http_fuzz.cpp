// Requests as the service gets them behind the parser of the connection: a line "METHOD TARGET", header lines, an empty
// line, the body. Every answer has a known status, no line break in a header, and JSON where it says so.
#include <boost/json/parse.hpp>

#include "fuzz/fuzz.hpp"
#include "ingest/reading.hpp"
#include "serve/body.hpp"
#include "steelyard/app/access.hpp"
#include "steelyard/app/ingest.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/serve/api.hpp"

namespace steelyard::fuzz {
namespace {

constexpr Instant k_now{std::chrono::sys_days{std::chrono::year{2026} / 11 / 23} + std::chrono::hours{6}};

/// A service over a store in memory, made anew now and then, since requests change it.
struct Bench {
  Bench() {
    const auto read = [&](const char* text) {
      expect(app::ingest_text(context, "f.csv", text, {}).has_value(), "the first rows are stored");
    };
    read("athlete,units,weekdays,bar_kg,group\na1,kg,mon wed fri,20,club\nb1,kg,,20,other\n");
    read("athlete,lift,from,training_max\na1,squat,2026-01-01,160\n");
    read("athlete,date,lift,kind,sets,reps,percent,minutes\na1,2026-11-23,squat,heavy,3,3,85,75\n");
    read("athlete,date,minutes,rpe,note\na1,2026-11-20,60,7,\"<b>&\"\n");
  }
  std::unique_ptr<store::Store> store = store::open_memory_store();
  app::Context context{*store, shipped_models(), k_now};
  serve::Api api{serve::ApiOptions{}};
};

serve::Request request_of(std::string_view text) {
  serve::Request request{.method = {}, .target = {}, .headers = {}, .body = {}, .peer = "127.0.0.1"};
  const auto line = [&] {
    const auto end = std::min(text.find('\n'), text.size());
    const auto one = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    return one;
  };
  const auto first = line();
  const auto blank = std::min(first.find(' '), first.size());
  request.method = first.substr(0, blank);
  request.target = first.substr(std::min(blank + 1, first.size()));
  for (auto header = line(); !header.empty(); header = line()) {
    const auto colon = std::min(header.find(':'), header.size());
    auto value = header.substr(std::min(colon + 1, header.size()));
    while (value.starts_with(' ')) value.remove_prefix(1);
    request.headers.emplace_back(to_lower(header.substr(0, colon)), value);
  }
  if (!request.header("host")) request.headers.emplace_back("host", "localhost:8080");
  request.body = text;
  return request;
}

}  // namespace
}  // namespace steelyard::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace steelyard;
  using namespace steelyard::fuzz;
  static std::unique_ptr<Bench> bench;
  static int uses = 0;
  if (!bench || ++uses % 300 == 0) bench = std::make_unique<Bench>();
  const serve::Request request = request_of(text_of(data, size));
  static_cast<void>(serve::Body::parse(request.body));
  const serve::Response response = bench->api.handle(request, &bench->context);
  expect(response.status >= 200 && response.status < 600, "a status");
  bool is_json = false;
  for (const auto& [name, value] : response.headers) {
    expect(value.find_first_of("\r\n") == std::string::npos, "no line break in a header");
    is_json = is_json || (name == "content-type" && value.find("json") != std::string::npos);
  }
  boost::system::error_code wrong;
  if (is_json && !response.body.empty()) boost::json::parse(response.body, wrong);
  expect(!wrong, "JSON where it says JSON");
  return 0;
}
