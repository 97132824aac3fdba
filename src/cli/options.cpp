#include "cli/options.hpp"

#include <fmt/core.h>

#include <boost/program_options/environment_iterator.hpp>
#include <boost/program_options/errors.hpp>
#include <boost/program_options/parsers.hpp>
#include <boost/program_options/value_semantic.hpp>
#include <cstdlib>
#include <sstream>

#include "steelyard/app/settings.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::cli {
namespace {

constexpr std::string_view k_prefix = "STEELYARD_";

std::vector<std::string_view> names_of(const po::options_description& options) {
  std::vector<std::string_view> names;
  for (const auto& option : options.options()) {
    if (option->long_name() != "words") names.emplace_back(option->long_name());
  }
  return names;
}

std::string unknown(std::string_view what, std::string_view name, const po::options_description& options) {
  while (name.starts_with('-')) name.remove_prefix(1);
  std::string text = fmt::format("{} {} is not known", what, in_quotes(name));
  const auto names = names_of(options);
  if (const auto nearest = nearest_word(name, names)) text += fmt::format("; did you mean '{}'?", *nearest);
  return text;
}

/// What the library says about a parsing error, in our words.
Error parse_error(const po::error& error, const po::options_description& options) {
  if (const auto* u = dynamic_cast<const po::unknown_option*>(&error)) {
    return {Errc::usage, unknown("the option", u->get_option_name(), options), ""};
  }
  if (const auto* named = dynamic_cast<const po::error_with_option_name*>(&error)) {
    std::string name = named->get_option_name();
    while (name.starts_with('-')) name.erase(0, 1);
    if (dynamic_cast<const po::multiple_occurrences*>(&error) != nullptr) {
      return {Errc::usage, "may be given once", "--" + name};
    }
    if (const auto* syntax = dynamic_cast<const po::invalid_syntax*>(&error)) {
      const bool extra = syntax->kind() == po::invalid_syntax::extra_parameter;
      return {Errc::usage, extra ? "takes no value" : "needs a value", "--" + name};
    }
    return {Errc::usage, "this value is not allowed", "--" + name};
  }
  return {Errc::usage, error.what(), ""};
}

/// STEELYARD_DRY_RUN -> dry-run, if there is such an option.
std::string option_of_variable(const std::string& variable, const po::options_description& options) {
  if (!std::string_view(variable).starts_with(k_prefix)) return {};
  std::string name = to_lower(std::string_view(variable).substr(k_prefix.size()));
  for (char& c : name) {
    if (c == '_') c = '-';
  }
  if (name == "words" || name == "help" || name == "version") return {};
  return options.find_nothrow(name, false) != nullptr ? name : std::string{};
}

po::options_description settings_options() {
  po::options_description options;
  options.add_options()("data", po::value<std::string>())("models", po::value<std::string>())(
      "units", po::value<std::string>())("quiet", po::bool_switch())("user.athlete", po::value<std::string>());
  for (const char* name : {"serve.listen", "serve.certificate", "serve.key", "serve.inbox", "serve.inbox-poll",
                           "serve.outbox", "serve.morning", "serve.hand-to"}) {
    options.add_options()(name, po::value<std::string>());
  }
  options.add_options()("serve.morning-of", po::value<std::vector<std::string>>());
  return options;
}

Result<void> store_settings(po::variables_map& map) {
  const bool named = map.count("config") > 0;
  const std::string path = named ? map["config"].as<std::string>() : app::default_settings_file();
  auto text = app::read_settings(path);
  if (!text) {
    if (!named && text.error().code == Errc::no_input) return {};
    return tl::make_unexpected(std::move(text).error());
  }
  const auto options = settings_options();
  try {
    std::istringstream stream(*text);
    po::store(po::parse_config_file(stream, options), map);
  } catch (const po::unknown_option& error) {
    return fail(Errc::bad_data, unknown("the setting", error.get_option_name(), options), path);
  } catch (const po::error& error) {
    return fail(Errc::bad_data, error.what(), path);
  }
  return {};
}

Result<Globals> globals_of(const po::variables_map& map) {
  Globals globals;
  const auto text = [&](const char* name) -> std::optional<std::string> {
    if (map.count(name) == 0) return std::nullopt;
    return map[name].as<std::string>();
  };
  globals.data = text("data");
  globals.models = text("models");
  globals.athlete = text("athlete");
  globals.user_athlete = text("user.athlete");
  globals.json = map["json"].as<bool>();
  globals.quiet = map["quiet"].as<bool>();
  if (const auto day = text("date")) {
    auto parsed = parse_day(*day);
    if (!parsed) return fail(Errc::usage, parsed.error().what, "--date");
    globals.date = *parsed;
  }
  if (const auto units = text("units")) {
    if (*units != "kg" && *units != "lb") {
      return fail(Errc::usage, fmt::format("{} is not a unit; allowed: kg, lb", in_quotes(*units)), "--units");
    }
    globals.units = *units == "kg" ? Unit::kg : Unit::lb;
  }
  return globals;
}

}  // namespace

po::options_description global_options() {
  po::options_description options;
  options.add_options()                                                                                         //
      ("data", po::value<std::string>()->value_name("FILE|URL"), "the store")                                   //
      ("models", po::value<std::string>()->value_name("DIR"), "model files that differ from the shipped ones")  //
      ("config", po::value<std::string>()->value_name("FILE"), "the settings")                                  //
      ("athlete", po::value<std::string>()->value_name("CODE"), "whom it is about")                             //
      ("date", po::value<std::string>()->value_name("YYYY-MM-DD"), "the day; today if not given")               //
      ("json", po::bool_switch(), "the answer as one JSON object")                                              //
      ("units", po::value<std::string>()->value_name("kg|lb"), "unit of weights")                               //
      ("quiet", po::bool_switch(), "no notes, no progress")                                                     //
      ("help,h", po::bool_switch(), "this help")                                                                //
      ("version", po::bool_switch(), "versions of the program, its models and the store's tables");
  return options;
}

po::options_description options_of(const Command& command) {
  po::options_description options;
  if (command.add_options != nullptr) command.add_options(options.add_options());
  return options;
}

Arguments find_command_word(int argc, const char* const* argv) {
  const auto globals = global_options();
  Arguments arguments;
  bool is_value = false;
  for (int i = 1; i < argc; ++i) {
    const std::string_view word = argv[i];
    if (arguments.command.empty() && !is_value && !word.starts_with('-')) {
      arguments.command = word;
      continue;
    }
    is_value = false;
    if (arguments.command.empty() && word.starts_with("--") && word.find('=') == std::string_view::npos) {
      const auto* option = globals.find_nothrow(std::string(word.substr(2)), false);
      is_value = option != nullptr && option->semantic()->max_tokens() > 0;
    }
    arguments.others.emplace_back(word);
  }
  return arguments;
}

Result<Values> parse_options(const std::vector<std::string>& arguments, const Command* command) {
  po::options_description all = global_options();
  if (command != nullptr) all.add(options_of(*command));
  po::options_description known;
  known.add(all).add_options()("words", po::value<std::vector<std::string>>());
  po::positional_options_description positions;
  positions.add("words", -1);
  namespace style = po::command_line_style;
  Values values;
  try {
    po::store(po::command_line_parser(arguments)
                  .options(known)
                  .positional(positions)
                  .style(style::unix_style & ~style::allow_guessing)
                  .run(),
              values.map);
    po::store(po::parse_environment(all, boost::function1<std::string, std::string>([&](const std::string& variable) {
                                      return option_of_variable(variable, all);
                                    })),
              values.map);
  } catch (const po::error& error) {
    return tl::make_unexpected(parse_error(error, all));
  }
  STEELYARD_TRY(store_settings(values.map));
  if (values.map.count("words") > 0) values.words = values.map["words"].as<std::vector<std::string>>();
  STEELYARD_TRY_ASSIGN(values.globals, globals_of(values.map));
  return values;
}

}  // namespace steelyard::cli
