#include <fmt/core.h>

#include "cli/commands.hpp"
#include "cli/options.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/page/assets.hpp"
#include "steelyard/serve/daemon.hpp"

namespace steelyard::cli {
namespace {

/// "ADDRESS:PORT", "[ADDRESS]:PORT" or "PORT".
Result<void> read_address(std::string_view text, serve::DaemonOptions& options) {
  const auto colon = text.rfind(':');
  const auto port = parse_int(colon == std::string_view::npos ? text : text.substr(colon + 1));
  if (!port || *port < 0 || *port > 65535) {
    return fail(Errc::usage, fmt::format("{} is not ADDRESS:PORT; a port is 0 to 65535", in_quotes(text)), "--listen");
  }
  options.port = static_cast<std::uint16_t>(*port);
  if (colon == std::string_view::npos) return {};
  auto address = text.substr(0, colon);
  if (address.starts_with('[') && address.ends_with(']')) address = address.substr(1, address.size() - 2);
  options.address = address == "localhost" ? "127.0.0.1" : std::string(address);
  return {};
}

/// An option as given, else as [serve] of the settings has it.
std::optional<std::string> text_of(const po::variables_map& values, const std::string& option) {
  for (const std::string& name : {option, "serve." + option}) {
    if (values.count(name) > 0) return values[name].as<std::string>();
  }
  return std::nullopt;
}

/// What the options and the settings file say now about that which SIGHUP may change.
Result<serve::Reloadable> reloadable(const Globals& globals, const po::variables_map& values) {
  serve::Reloadable settings{.models = globals.models, .command = text_of(values, "hand-to").value_or("")};
  if (const auto text = text_of(values, "morning")) {
    auto time = serve::parse_clock(*text);
    if (!time) return fail(Errc::usage, time.error().what, "--morning");
    settings.morning = *time;
  }
  const char* name = values.count("morning-of") > 0 ? "morning-of" : "serve.morning-of";
  if (values.count(name) == 0) return settings;
  for (const std::string& one : values[name].as<std::vector<std::string>>()) {
    const auto equals = one.find('=');
    auto time = serve::parse_clock(equals == std::string::npos ? "" : std::string_view(one).substr(equals + 1));
    if (!time) return fail(Errc::usage, fmt::format("{} is not CODE=HH:MM", in_quotes(one)), "--morning-of");
    settings.morning_of[one.substr(0, equals)] = *time;
  }
  return settings;
}

}  // namespace

RunResult run_serve(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "serve"));
  serve::DaemonOptions options{.data = run.globals.data};
  STEELYARD_TRY_ASSIGN(options.reloadable, reloadable(run.globals, run.values));
  options.reread = [&run]() -> Result<serve::Reloadable> {
    STEELYARD_TRY_ASSIGN(const Values now, parse_options(run.arguments, &k_serve));
    return reloadable(now.globals, now.map);
  };
  options.inbox = text_of(run.values, "inbox").value_or("");
  options.outbox = text_of(run.values, "outbox").value_or("");
  if (const auto typed = text_of(run.values, "inbox-poll")) {
    const auto poll = parse_int(*typed);
    if (!poll || *poll < 1 || *poll > 3600) return fail(Errc::usage, "allowed: 1 to 3600 seconds", "--inbox-poll");
    options.inbox_poll = *poll;
  }
  STEELYARD_TRY(read_address(text_of(run.values, "listen").value_or("127.0.0.1:8080"), options));
  options.certificate = text_of(run.values, "certificate").value_or("");
  options.key = text_of(run.values, "key").value_or("");
  options.behind_proxy = run.flag("behind-proxy");
  options.assets = [](std::string_view path) -> std::optional<serve::Asset> {
    const auto* file = page::find_asset(path);
    if (file == nullptr) return std::nullopt;
    return serve::Asset{.bytes = file->bytes, .content_type = file->content_type, .etag = file->etag};
  };
  STEELYARD_TRY(serve::run_daemon(options));
  return 0;
}

}  // namespace steelyard::cli
