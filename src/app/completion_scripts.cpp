// The completion scripts. Each first finds the command that the line has come to, then offers what may
// follow.
#include <sstream>

#include "completion.hpp"

namespace armwise::app {
namespace {

// In single quotes of a shell; fish escapes the quote itself, the others end the string for it.
std::string quoted(const std::string& text, const char* quote = "'\\''") {
  std::string out = "'";
  for (const char c : text) {
    if (c == '\'') {
      out += quote;
    } else {
      out += c;
    }
  }
  return out + "'";
}

std::string fish_quoted(const std::string& text) {
  return quoted(text, "\\'");
}

std::vector<std::string> spellings(const CompletionOption& option) {
  std::vector<std::string> out;
  if (!option.short_name.empty()) out.push_back("-" + option.short_name);
  if (!option.long_name.empty()) out.push_back("--" + option.long_name);
  return out;
}

// "'armwise sheet -o'|'armwise sheet --output'": the option as it stands before the cursor.
std::string pattern(const CompletionNode& node, const CompletionOption& option, const char* between) {
  std::string out;
  for (const std::string& spelling : spellings(option))
    out += (out.empty() ? "" : between) + quoted(node.path_words() + " " + spelling);
  return out;
}

std::string words_of(const std::vector<std::string>& words) {
  std::string out;
  for (const std::string& word : words) out += (out.empty() ? "" : " ") + word;
  return out;
}

std::string all_words(const CompletionNode& node) {
  std::vector<std::string> words;
  for (const auto& [name, description] : node.commands) words.push_back(name);
  for (const CompletionOption& option : node.options) {
    for (const std::string& spelling : spellings(option)) words.push_back(spelling);
  }
  return words_of(words);
}

// The name and what it means, as _describe wants them; a colon would end the name.
std::string zsh_item(const std::string& name, const std::string& description) {
  return quoted(name + ":" + description);
}

}  // namespace

std::string bash_completion(const std::vector<CompletionNode>& nodes) {
  std::ostringstream out;
  out << "# bash completion for armwise, made by `armwise completion bash`\n_armwise() {\n"
         "  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} at=armwise i\n"
         "  COMPREPLY=()\n  for ((i = 1; i < COMP_CWORD; i++)); do\n    case \"$at ${COMP_WORDS[i]}\" in\n";
  for (const CompletionNode& node : nodes) {
    if (node.path.size() > 1)
      out << "      " << quoted(node.path_words()) << ") at=" << quoted(node.path_words()) << " ;;\n";
  }
  out << "    esac\n  done\n  case \"$at $prev\" in\n";
  for (const CompletionNode& node : nodes) {
    for (const CompletionOption& option : node.options) {
      if (option.value.kind == Value::Kind::none) continue;
      out << "    " << pattern(node, option, "|") << ")\n      ";
      if (option.value.kind == Value::Kind::choice) {
        out << "mapfile -t COMPREPLY < <(compgen -W " << quoted(words_of(option.value.choices))
            << " -- \"$cur\")\n";
      } else if (option.value.kind == Value::Kind::file) {
        out << "compopt -o filenames; mapfile -t COMPREPLY < <(compgen -f -- \"$cur\")\n";
      } else {
        out << ":\n";
      }
      out << "      return ;;\n";
    }
  }
  out << "  esac\n  case \"$at\" in\n";
  for (const CompletionNode& node : nodes) {
    out << "    " << quoted(node.path_words()) << ")\n";
    if (node.takes_files)
      out << "      if [[ $cur != -* ]]; then compopt -o filenames; mapfile -t COMPREPLY < <(compgen -f -- "
             "\"$cur\"); return; fi\n";
    out << "      mapfile -t COMPREPLY < <(compgen -W " << quoted(all_words(node)) << " -- \"$cur\") ;;\n";
  }
  out << "  esac\n}\ncomplete -F _armwise armwise\n";
  return out.str();
}

std::string zsh_completion(const std::vector<CompletionNode>& nodes) {
  std::ostringstream out;
  out << "#compdef armwise\n# zsh completion for armwise, made by `armwise completion zsh`\n_armwise() {\n"
         "  local at=armwise word\n  local -a commands options\n  for word in ${words[2,CURRENT-1]}; do\n"
         "    case \"$at $word\" in\n";
  for (const CompletionNode& node : nodes) {
    if (node.path.size() > 1)
      out << "      (" << quoted(node.path_words()) << ") at=" << quoted(node.path_words()) << " ;;\n";
  }
  out << "    esac\n  done\n  case \"$at ${words[CURRENT-1]}\" in\n";
  for (const CompletionNode& node : nodes) {
    for (const CompletionOption& option : node.options) {
      if (option.value.kind == Value::Kind::none) continue;
      out << "    (" << pattern(node, option, "|") << ") ";
      if (option.value.kind == Value::Kind::choice) {
        out << "compadd -- " << words_of(option.value.choices);
      } else {
        out << (option.value.kind == Value::Kind::file ? "_files" : ":");
      }
      out << "; return ;;\n";
    }
  }
  out << "  esac\n  case \"$at\" in\n";
  for (const CompletionNode& node : nodes) {
    out << "    (" << quoted(node.path_words()) << ")\n      commands=(";
    for (const auto& [name, description] : node.commands) out << " " << zsh_item(name, description);
    out << " )\n      options=(";
    for (const CompletionOption& option : node.options) {
      for (const std::string& spelling : spellings(option))
        out << " " << zsh_item(spelling, option.description);
    }
    out << " )\n" << (node.takes_files ? "      _files\n" : "") << "      ;;\n";
  }
  out << "  esac\n  (( $#commands )) && _describe command commands\n"
         "  [[ ${words[CURRENT]} == -* ]] && _describe option options\n}\n_armwise \"$@\"\n";
  return out.str();
}

std::string fish_completion(const std::vector<CompletionNode>& nodes) {
  std::ostringstream out;
  out << "# fish completion for armwise, made by `armwise completion fish`\nfunction __armwise_at\n"
         "    set -l at armwise\n    for word in (commandline -opc)[2..-1]\n        switch \"$at $word\"\n";
  for (const CompletionNode& node : nodes) {
    if (node.path.size() > 1)
      out << "            case " << fish_quoted(node.path_words()) << "\n                set at "
          << fish_quoted(node.path_words()) << "\n";
  }
  out << "        end\n    end\n    test \"$at\" = \"$argv[1]\"\nend\ncomplete -c armwise -f\n";
  for (const CompletionNode& node : nodes) {
    const std::string start =
        "complete -c armwise -n " + fish_quoted("__armwise_at \"" + node.path_words() + "\"");
    if (node.takes_files) out << start << " -F\n";
    for (const auto& [name, description] : node.commands)
      out << start << " -a " << fish_quoted(name) << " -d " << fish_quoted(description) << "\n";
    for (const CompletionOption& option : node.options) {
      out << start;
      if (!option.short_name.empty()) out << " -s " << option.short_name;
      if (!option.long_name.empty()) out << " -l " << option.long_name;
      if (option.value.kind == Value::Kind::choice)
        out << " -x -a " << fish_quoted(words_of(option.value.choices));
      if (option.value.kind == Value::Kind::file) out << " -r -F";
      if (option.value.kind == Value::Kind::text) out << " -x";
      out << " -d " << fish_quoted(option.description) << "\n";
    }
  }
  return out.str();
}

}  // namespace armwise::app
