// What the page says at a glance, and what its reader must know.
#include <algorithm>

#include "craft_view.hpp"
#include "markup.hpp"
#include "page_parts.hpp"

namespace armwise::sheet {
namespace {

// Drawn, not a letter: not every font has one.
std::string sign(bool good) {
  const std::string path = good ? "M1 5.5 4 8.5 9 1.5" : "M1.5 1.5l7 7M8.5 1.5l-7 7";
  return "<svg viewBox=\"0 0 10 10\" aria-hidden=\"true\"><path d=\"" + path +
         "\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.9\"/></svg>";
}

std::string box(const std::string& label, bool good, const std::string& words, const std::string& mark,
                const std::string& kind = {}) {
  return "<div" + (kind.empty() ? std::string() : " class=\"" + kind + "\"") + "><dt>" + label + mark +
         "</dt><dd>" + sign(good) + words + "</dd></div>\n";
}

std::string proof_in_words(const record::CraftRecord& record) {
  const int size = frame_of(record).size();
  if (record.proof_spins <= 0) return "not done";
  return std::to_string(std::min(record.proof_spins, size)) + " of " + std::to_string(size) + " done";
}

bool any_undone(const record::CraftRecord& record) {
  return std::any_of(record.spins.begin(), record.spins.end(), [](const auto& spin) { return spin.undone; });
}

}  // namespace

std::string verdict(const record::CraftRecord& record) {
  const bool all_spun = record.proof_spins >= frame_of(record).size();
  const bool nothing_to_keep = record.changes.empty() && !record.kept;
  return "<dl class=\"verdict\">\n" +
         box("This craft is", record.proven_whole(), record.proven_whole() ? "proven" : "not proven",
             mark(record::Source::computed), "whole") +
         box("Proof spins, asked blind", all_spun, proof_in_words(record), mark(record, "spins")) +
         box("Settings", record.kept || nothing_to_keep,
             nothing_to_keep ? "none had to change" : (record.kept ? "kept" : "not kept"),
             mark(record::Source::controller)) +
         box("Read back after restart", record.read_back_matches,
             record.read_back_matches ? "match" : "not confirmed", mark(record::Source::computed)) +
         "</dl>\n";
}

std::vector<std::string> deviations(const record::CraftRecord& record) {
  std::vector<std::string> out;
  if (!record.proven_whole())
    out.emplace_back("Not proven whole: do not fly it on the strength of this page.");
  if (record.proof_spins < frame_of(record).size()) {
    out.push_back("Proof spins " + proof_in_words(record) + ".");
  }
  if (!record.kept && !record.changes.empty()) out.emplace_back("The settings were written, but not kept.");
  if (!record.read_back_matches) {
    out.emplace_back("The settings were not read back as written after the restart.");
  }
  for (const PlaceView& view : places(record, Side::after)) {
    if (view.right()) continue;
    out.push_back(frame_of(record).places[view.place].name + ": " + view.should_be() + ".");
  }
  if (any_undone(record)) {
    out.emplace_back("Answers were undone; they are struck through above.");
  }
  if (record.version < 2) {
    out.push_back("The record is of version " + std::to_string(record.version) +
                  ": it has no seal and does not say where the numbering comes from.");
  }
  for (const std::string& work : record.by_hand) out.push_back("By hand: " + work);
  out.insert(out.end(), record.warnings.begin(), record.warnings.end());
  return out;
}

}  // namespace armwise::sheet
