#include "cli/commands.hpp"

namespace steelyard::cli {

const Command k_serve{
    .name = "serve",
    .job = "the service: HTTP interface, page, inbox and briefings",
    .usage = "",
    .more =
        "As long as no token was ever made ('steelyard token add'), everybody who can open a program on this machine\n"
        "may read and write everything, and nobody else can reach it. From the first token on, every request needs\n"
        "one, also from this machine. Another address than the machine's own takes tokens and either a certificate\n"
        "or a proxy that does the encryption. GET /v1/openapi.json describes the interface.\n"
        "A file in the inbox is read once it no longer changes and goes to done/ or rejected/, there with\n"
        "NAME.error.txt. In the morning of each lifter the day's call goes to the outbox as text, HTML and JSON, on\n"
        "Mondays also the week of each group; --hand-to COMMAND gets each as text on its standard input.\n"
        "Each option but --behind-proxy may stand under [serve] of the settings file. SIGHUP reads models and "
        "settings\n"
        "again; SIGTERM finishes what is under way.",
    .example = "serve --listen 127.0.0.1:8080",
    .add_options =
        [](po::options_description_easy_init add) {
          const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
          add("listen", text("ADDRESS:PORT"), "127.0.0.1:8080 if not given; port 0 takes any free one");
          add("certificate", text("FILE"), "chain of certificates for TLS, PEM");
          add("key", text("FILE"), "its private key, PEM");
          add("inbox", text("DIR"), "folder whose files are read");
          add("inbox-poll", text("SECONDS"), "look that often, where folders cannot tell of changes");
          add("outbox", text("DIR"), "folder for the briefings");
          add("morning", text("HH:MM"), "when a lifter's briefing is due, by the lifter's clock; 06:00 if not given");
          add("morning-of", po::value<std::vector<std::string>>()->value_name("CODE=HH:MM"),
              "another time of one lifter");
          add("hand-to", text("COMMAND"), "what gets each briefing, such as a mail program");
          add("behind-proxy", po::bool_switch(), "another program in front does the encryption");
        },
    .run = run_serve};

}  // namespace steelyard::cli
