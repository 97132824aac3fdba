#include <fmt/core.h>

#include "cli/commands.hpp"
#include "steelyard/base/text.hpp"
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

RunResult run_serve(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "serve"));
  serve::DaemonOptions options{.data = run.globals.data, .models = run.globals.models};
  STEELYARD_TRY(read_address(run.text("listen").value_or("127.0.0.1:8080"), options));
  options.certificate = run.text("certificate").value_or("");
  options.key = run.text("key").value_or("");
  options.behind_proxy = run.flag("behind-proxy");
  STEELYARD_TRY(serve::run_daemon(options));
  return 0;
}

}  // namespace

const Command k_serve{
    .name = "serve",
    .job = "the service: HTTP interface and page",
    .usage = "",
    .more =
        "As long as no token was ever made ('steelyard token add'), everybody who can open a program on this machine\n"
        "may read and write everything, and nobody else can reach it. From the first token on, every request needs\n"
        "one, also from this machine. Another address than the machine's own takes tokens and either a certificate\n"
        "or a proxy that does the encryption. GET /v1/openapi.json describes the interface.",
    .example = "serve --listen 127.0.0.1:8080",
    .add_options =
        [](po::options_description_easy_init add) {
          const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
          add("listen", text("ADDRESS:PORT"), "127.0.0.1:8080 if not given; port 0 takes any free one");
          add("certificate", text("FILE"), "chain of certificates for TLS, PEM");
          add("key", text("FILE"), "its private key, PEM");
          add("behind-proxy", po::bool_switch(), "another program in front does the encryption");
        },
    .run = run_serve};

}  // namespace steelyard::cli
