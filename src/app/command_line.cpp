#include "command_line.hpp"

#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <CLI/Option.hpp>
#include <algorithm>
#include <iostream>
#include <map>
#include <memory>
#include <sstream>

#include "armwise/base/text.hpp"

namespace armwise::app {
namespace {

constexpr std::size_t columns = 80;
constexpr std::size_t name_column = 28;

// Words put on lines of at most 80 columns, each line after the first indented; line ends in the text stay.
std::string wrapped(const std::string& text, std::size_t indent, std::size_t first_used) {
  std::string out;
  std::size_t used = first_used;
  std::istringstream paragraphs(text);
  std::string paragraph;
  bool first_paragraph = true;
  while (std::getline(paragraphs, paragraph)) {
    if (!first_paragraph) {
      out += "\n" + std::string(indent, ' ');
      used = indent;
    }
    first_paragraph = false;
    std::istringstream words(paragraph);
    std::string word;
    bool first_word = true;
    while (words >> word) {
      if (!first_word && used + 1 + word.size() > columns) {
        out += "\n" + std::string(indent, ' ');
        used = indent;
        first_word = true;
      }
      if (!first_word) {
        out += ' ';
        ++used;
      }
      out += word;
      used += word.size();
      first_word = false;
    }
  }
  return out;
}

std::string row(const std::string& name, const std::string& text) {
  std::string out = "  " + name;
  if (out.size() + 1 > name_column) {
    out += "\n" + std::string(name_column, ' ');
  } else {
    out += std::string(name_column - out.size(), ' ');
  }
  return out + wrapped(text, name_column, name_column) + "\n";
}

class NarrowFormatter : public CLI::FormatterBase {
 public:
  std::string make_help(const CLI::App* app, std::string, CLI::AppFormatMode) const override {
    std::string out = wrapped(app->get_description(), 0, 0) + "\n\n" + usage(app) + "\n";
    const auto positionals =
        app->get_options([](const CLI::Option* option) { return option->get_positional(); });
    const auto options = app->get_options(
        [](const CLI::Option* option) { return !option->get_positional() && !option->get_group().empty(); });
    const auto commands = app->get_subcommands([](const CLI::App* sub) { return !sub->get_group().empty(); });
    if (!commands.empty()) {
      out += "\nCommands:\n";
      for (const CLI::App* command : commands) out += row(command->get_name(), command->get_description());
    }
    if (!positionals.empty()) {
      out += "\nArguments:\n";
      for (const CLI::Option* option : positionals)
        out += row(option->get_name(true), option->get_description());
    }
    if (!options.empty()) {
      out += "\nOptions:\n";
      for (const CLI::Option* option : options) out += row(option_name(option), option->get_description());
    }
    if (!app->get_footer().empty()) out += "\n" + app->get_footer() + "\n";
    return out;
  }

 private:
  static std::string option_name(const CLI::Option* option) {
    std::string name = option->get_name(false, true);
    for (std::size_t at = name.find(','); at != std::string::npos; at = name.find(',', at + 2))
      name.insert(at + 1, " ");
    if (option->get_items_expected_max() > 0 && !option->get_type_name().empty())
      name += " " + option->get_type_name();
    return name;
  }

  static std::string usage(const CLI::App* app) {
    std::string out = "Usage: ";
    std::string path = app->get_name();
    for (const CLI::App* up = app->get_parent(); up != nullptr; up = up->get_parent())
      path = up->get_name() + " " + path;
    out += path;
    if (!app->get_subcommands([](const CLI::App*) { return true; }).empty()) out += " COMMAND";
    for (const CLI::Option* option :
         app->get_options([](const CLI::Option* o) { return o->get_positional(); })) {
      out += option->get_required() ? " " + option->get_name(true) : " [" + option->get_name(true) + "]";
    }
    return out + " [OPTIONS]";
  }
};

void collect(const CLI::App& app, std::vector<std::string>& names) {
  for (const CLI::Option* option : app.get_options([](const CLI::Option*) { return true; })) {
    for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
  }
  for (const CLI::App* sub : app.get_subcommands([](const CLI::App*) { return true; }))
    names.push_back(sub->get_name());
}

// The command whose options were expected where the slip happened.
CLI::App& innermost(CLI::App& app) {
  CLI::App* at = &app;
  while (!at->get_subcommands().empty()) at = at->get_subcommands().back();
  return *at;
}

std::string suggestion(CLI::App& app, int argc, char** argv) {
  CLI::App& inner = innermost(app);
  std::vector<std::string> names;
  collect(inner, names);
  if (&inner != &app) collect(app, names);
  for (int i = 1; i < argc; ++i) {
    std::string typed = argv[i];
    typed = typed.substr(0, typed.find('='));
    if (std::find(names.begin(), names.end(), typed) != names.end()) continue;
    const std::string near = nearest(typed, names);
    if (!near.empty() && near != typed) return "Did you mean " + near + "?";
  }
  return {};
}

}  // namespace

CLI::Validator between(double least, double most) {
  const auto why_not = [least, most](std::string& text) -> std::string {
    double number = 0;
    const bool read = CLI::detail::lexical_cast(text, number);
    if (read && number >= least && number <= most) return {};
    std::ostringstream words;
    words << text << " is no number between " << least << " and " << most;
    return words.str();
  };
  return {why_not, ""};
}

void build(CLI::App& app, Chosen& chosen, const std::vector<CommandSpec>& commands) {
  app.formatter(std::make_shared<NarrowFormatter>());
  app.require_subcommand(1);
  app.fallthrough();
  app.set_help_flag("-h,--help", "this text");
  app.add_flag("-v,--verbose", chosen.common.verbose, "tell on the error stream what is done");
  app.add_option("--log-file", chosen.common.log_file, "where the log goes")->type_name("FILE");
  app.add_option("--color", chosen.common.color, "auto, always or never")
      ->type_name("WHEN")
      ->check(CLI::IsMember({"auto", "always", "never"}));
  std::map<std::string, CLI::App*> groups;
  for (const CommandSpec& spec : commands) {
    CLI::App* parent = &app;
    std::string name = spec.name;
    if (const std::size_t space = name.find(' '); space != std::string::npos) {
      const std::string group = name.substr(0, space);
      CLI::App*& known = groups[group];
      if (known == nullptr) {
        known = app.add_subcommand(group, "console profiles");
        known->require_subcommand(1);
        known->set_help_flag("-h,--help", "this text");
      }
      parent = known;
      name = name.substr(space + 1);
    }
    CLI::App* command = parent->add_subcommand(name, spec.description);
    command->set_help_flag("-h,--help", "this text");
    command->footer("Example:\n  " + spec.example);
    command->callback([&chosen, run = spec.setup(*command, chosen)] { chosen.run = run; });
  }
}

int parse(CLI::App& app, int argc, char** argv) {
  try {
    app.parse(argc, argv);
  } catch (const CLI::CallForHelp&) {
    std::cout << innermost(app).help();
    return 0;
  } catch (const CLI::CallForVersion&) {
    std::cout << app.version() << "\n";
    return 0;
  } catch (const CLI::ParseError& error) {
    CLI::App& inner = innermost(app);
    std::string path = inner.get_name();
    if (&inner != &app) path = app.get_name() + " " + path;
    std::cerr << "armwise: " << printable(error.what()) << ".\n";
    const std::string near = suggestion(app, argc, argv);
    if (!near.empty()) std::cerr << near << "\n";
    std::cerr << "See " << path << " --help.\n";
    return 2;
  }
  return -1;
}

}  // namespace armwise::app
