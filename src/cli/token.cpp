#include "cli/commands.hpp"

namespace steelyard::cli {

const Command k_token{
    .name = "token",
    .job = "access tokens of the service: make, list, revoke",
    .usage = "add | list | revoke ID",
    .more =
        "A lifter's token reads and writes the entries of that lifter only, a coach's those of the group (everybody\n"
        "without --group), as far as the lifters share them. A token is shown once; the store keeps only a digest.\n"
        "From the first token on, 'steelyard serve' answers nobody without one.",
    .example = "token add --role lifter --athlete hc01",
    .add_options =
        [](po::options_description_easy_init add) {
          const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
          add("role", text("lifter|coach"), "add: whose token it is");
          add("group", text("NAME"), "add: the coach's group");
          add("days", text("N"), "add: how long it is valid; 365 if not given");
          add("note", text("TEXT"), "add: a note, such as \"phone\"");
        },
    .run = run_token};

}  // namespace steelyard::cli
