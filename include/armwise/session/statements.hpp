// Every statement that a session makes, in one table: its id, how much it matters, and its sentence. This is
// where a sentence is looked up and where it is improved; tests, scripts and logs go by id and values, never
// by sentence.
//
//   person.tell("stop-lost", {{"why", why}});
//
// An id that is not in the table does not compile. What a {blank} stands for is said where the statement is
// made; a machine gets the same values by name. Adding one: a row here, and its id in
// scripts/package/armwise-machine.5.scd (a test compares them).
#pragma once

#include <array>
#include <map>
#include <string>
#include <string_view>

namespace armwise::session {

// problem: something went wrong, and nobody is in danger. danger: what can hurt somebody within the next
// minute. alarm: a danger that somebody can end within the next second, as by pulling a plug; with a bell
// where one rings.
enum class Level { info, warn, problem, danger, alarm };

using Facts = std::map<std::string, std::string>;

struct TableOfStatements {
  struct Row {
    std::string_view id;
    Level level;
    std::string_view sentence;
  };
  static constexpr auto rows = std::to_array<Row>({
      // A motor that may be turning.
      {"stop-lost", Level::alarm,
       "A motor may be turning: the controller has not confirmed the stop ({why}). Keep clear and pull the "
       "battery "
       "plug now. Unplugging USB stops no motor. armwise keeps trying."},
      {"stop-tried", Level::alarm, "Still trying to stop it ({seconds} s). Pull the battery plug now."},
      {"stop-found", Level::warn,
       "The stop is confirmed now. If a motor still turns, keep clear and pull the battery plug."},
      {"still-turning", Level::danger, "If a motor still turns, keep clear and pull the battery plug now."},
      {"cautions", Level::danger,
       "Fingers, hair, loose wire clear of the motors.\n"
       "A motor won't stop? Pull the battery, not USB.\n"
       "First power-up: current-limited supply or fuse. Never leave a battery alone."},
      {"guard-note", Level::warn, "{note}"},

      // How a session ends, and what went wrong.
      {"fault", Level::problem, "{sentence}"},
      {"stopped", Level::info, "{how}: {state}"},
      {"done", Level::info,
       "Done and proven. First flight: low, short, away from people. Local rules and your parts' manuals "
       "come first. Unplug the battery.\n"
       "The record: {record}"},
      {"mischief", Level::info,
       "That was the mischief you asked for: {what}. You'd notice {notice}; armwise {answer}."},
      {"mischief-missed", Level::info,
       "The mischief you asked for didn't come up ({what}): it strikes later than this session got. Another "
       "--seed puts it elsewhere."},
      {"line-gone", Level::warn,
       "Connection lost, and nothing is saved yet. Waiting for the controller to come back, to undo the "
       "changes."},
      {"undone", Level::info, "The changes were undone and read back: the controller is as it was before."},
      {"journal-unwritten", Level::warn,
       "The journal can't be written ({why}). Undoing the changes without it."},
      {"journal-not-closed", Level::warn,
       "The journal can't be closed ({why}). Make room, then run armwise recover: it reads the settings back "
       "once "
       "more, and closes it."},

      // Ports and profiles.
      {"waiting-for-controller", Level::info, "No controller is plugged in. Plug it in over USB."},
      {"only-port", Level::info, "Connecting to {port}, the only port."},
      {"port-used", Level::info, "Connecting to {port}."},
      {"profile-silent", Level::problem,
       "This console doesn't speak {profile}: choose another profile. ({why})"},
      {"profile-misfit", Level::problem,
       "This console doesn't fit the profile {profile}: {why} Nothing was written."},
      {"opening-tried", Level::info,
       "Nothing answers yet. Typing \"{sent}\", which opens the console of your profile {profile}."},
      {"introduction-asked", Level::info,
       "Its prompt ends like that of your profile {profile}. Asking who it is: {sent}."},
      {"introduction-left-out", Level::info,
       "Not asking whether this is your profile {profile}: on another console that line would be a command."},
      {"configuration-backed-up", Level::info, "The whole configuration ({lines} lines) is saved in {file}."},
      {"trial", Level::info, "{line}"},
      {"trial-failed", Level::problem, "   {why}"},
      {"trial-done", Level::info,
       "All {tried} can be read. Nothing that writes, saves, restarts or spins was tried. Next: armwise "
       "bench --dry-run."},
      {"profile-written", Level::info,
       "The profile is in {file}. Prove it with: armwise teach --from {file}"},
      {"draft-written", Level::info,
       "What you taught so far is in {file}. Go on with it: armwise teach{options} --from {file}"},
      {"profile-taught", Level::info,
       "The profile is in {file}. Use it with: armwise bench{options} --profile {file}"},
      {"answered-beforehand", Level::info, "{asked} Answered beforehand ({question}): {answer}."},
      {"answered-by-yes", Level::info, "{asked} Answered by --yes ({question}): yes."},

      // bench: the controller, and what was found.
      {"controller", Level::info, "Controller: {who}."},
      {"controller-nameless", Level::info, "The controller answers, but doesn't say what it is."},
      {"backing-up", Level::info, "Backing up the settings."},
      {"configuration-saved", Level::info, "Settings backed up."},
      {"configuration-unsaved", Level::warn,
       "This profile can't print the whole configuration: only what armwise changes can be put back."},
      {"settings-unsteady", Level::warn,
       "Read twice, the settings differ ({differences}). Reading once more."},
      {"no-way-back", Level::warn, "There's nothing to go back to from here."},
      {"not-still", Level::warn, "{why}"},
      {"mount-contradiction", Level::warn, "{why}"},
      {"mount-cause", Level::warn, "Perhaps: {cause}"},
      {"mount-found", Level::info, "{mount}"},
      {"mount-unsure", Level::info, "{mount}"},
      {"mount-measured", Level::info, "{mount}"},
      {"mount-by-eye", Level::info, "The board: {mount}."},
      {"mount-left", Level::warn, "The board's mount is left as it is set."},
      {"mount-unsettable", Level::warn, "armwise can't set the board's mount on this controller."},
      {"named-twice", Level::warn, "{why}"},
      {"nothing-moved", Level::warn, "{why}"},
      {"several-moved", Level::warn, "{why}"},
      {"stronger", Level::info, "This time at {throttle} % throttle, not {before} %."},
      {"asked-arm", Level::info, "The arms don't add up yet: once more."},
      {"asked-direction", Level::info, "Not sure of a direction yet: once more."},
      {"asked-otherwise", Level::info,
       "Everyone mixes up directions now and then, so we ask in other words."},
      {"asked-view", Level::info,
       "Seen from below, or with the craft turned round, left and right change places: one more question."},
      {"found", Level::info, "This is how it is wired."},
      {"found-in-record", Level::info, "This is how it is wired, says the record of {made}."},

      // The plan.
      {"plan", Level::info, "Changes, in this order:"},
      {"plan-empty", Level::info, "No setting needs to change."},
      {"sense-now", Level::info, "Without these changes: {sense}"},
      {"sense-after", Level::info, "With them: {sense}"},
      {"dry-run", Level::info, "Dry run: nothing was written. A real run sends exactly these commands."},
      {"work-by-hand", Level::warn, "{work}"},
      {"wrote", Level::info, "{change}: written and read back"},

      // The check.
      {"check-begins", Level::info, "Now the check, blind: each motor spins again."},
      {"check-changed", Level::info, "Now the check, blind, of what changed or wasn't checked yet: {spins}."},
      {"check-again", Level::warn,
       "This controller uses its new map or directions only after a restart, so each motor is checked again. "
       "Plug in the battery. Are the props still off?"},
      {"once-more", Level::info, "Once more, to be sure."},
      {"motor-not-proven", Level::warn,
       "Motor {motor} ({pin}) doesn't do what it should: expected {expected}, seen {seen}."},
      {"plan-again", Level::warn, "These answers fit together: planning again from them. Nothing is saved."},
      {"motors-proven", Level::info,
       "Proven: {motors} motors on the right arms, each in the right direction."},
      {"flies", Level::info, "{sense}"},
      {"flies-if-used", Level::info,
       "If the controller uses the mount that's set, {sense} Nobody has seen that: check its attitude "
       "display "
       "before you fly."},
      {"flies-perhaps", Level::danger, "{sense}"},
      {"poses-again", Level::info,
       "Unplug the battery. Then the same poses again: does the controller read them right?"},
      {"mount-proven", Level::info, "{proof}"},
      {"mount-agrees", Level::info, "The poses agree with the mount that's set."},
      {"mount-not-proven", Level::warn, "{proof}"},
      {"mount-unseen", Level::warn, "{warning}"},
      {"turn-right", Level::info, "{check}"},
      {"turn-wrong", Level::warn, "{check}"},

      // Saving.
      {"saving", Level::info, "Saving."},
      {"saving-restarts", Level::info, "Saving; then the controller restarts."},
      {"restarting", Level::info, "The controller restarts."},
      {"saved", Level::info, "{saved}."},
      {"watching-for-restart", Level::info, "Watching for the restart."},
      {"no-restart-seen", Level::warn,
       "No restart seen: the port never went away, and the console said nothing. Unplug the battery and USB: "
       "either one keeps it running."},
      {"controller-back", Level::info, "{words}"},
      {"read-back", Level::info, "Read back after the restart: everything is as it was written."},
      {"name-unfit", Level::warn, "A name needs at least one character, and at most 200 bytes."},
      {"configuration-unread", Level::warn, "{warning}"},
      {"unnamed", Level::warn,
       "Everything but the name is done; the record is filed under the frame's name."},

      // reapply.
      {"record", Level::info, "The record is of {craft}, a {frame}, made on {made}."},
      {"same-board", Level::info, "It is the same board, as it was then."},
      {"same-board-changed", Level::info, "It is the same board, but not as it was then: {differences}."},
      {"other-profile", Level::info,
       "The record was made with the profile {recorded}; this one is {profile}. Wires and mount come from "
       "the "
       "record, the rest from this console."},
      {"as-recorded", Level::info, "The controller's settings match the record."},
      {"not-as-recorded", Level::warn, "Different from the record: {differences}."},
      {"other-pins", Level::warn,
       "This console names its pins differently from the record, so each motor spins once to find out which "
       "is which."},
      {"directions-unsettable", Level::warn,
       "One of the two consoles can't set a motor's direction, so the recorded ones may not hold. The check "
       "will "
       "show."},
      {"mount-unrecorded", Level::warn, "{warning}"},
      {"not-played", Level::warn, "{warning}"},
      {"line-left-out", Level::info, "Left out: {line} ({why})."},
      {"to-play", Level::info,
       "{lines} lines of the saved configuration will be sent as they are; {changing} of them differ now."},
      {"to-play-line", Level::info, "    {line}"},
      {"to-play-more", Level::info, "    and {lines} more"},
      {"played-otherwise", Level::warn, "{warning}."},
      {"played", Level::info, "Every line was accepted, and the configuration reads as saved."},
      {"playing", Level::info, "played back"},

      // recover.
      {"nothing-to-recover", Level::info, "No session was cut off: there is nothing to recover."},
      {"trial-left", Level::warn,
       "armwise teach was cut off while trying another value ({ago}). {what} armwise recover says how to "
       "put it back."},
      {"cut-off", Level::info,
       "A session with this controller was cut off ({ago}). Changes begun: {begun}; written and read back: "
       "{written}."},
      {"cut-off-saved", Level::info, "The controller had confirmed that it saved them."},
      {"cut-off-saving", Level::info, "We had told it to save them; it hadn't answered."},
      {"cut-off-proven", Level::info, "Every arm had been proven; nothing was saved."},
      {"cut-off-unproven", Level::info, "The arms had not been proven, and nothing was saved."},
      {"as-before", Level::info, "The settings now are the same as before that session."},
      {"not-as-before", Level::info, "Compared with before that session: {differences}."},
      {"as-planned", Level::info, "The settings now are what that session wanted."},
      {"not-as-planned", Level::info, "Compared with what that session wanted: {differences}."},
      {"configuration-before", Level::info, "The whole configuration from before is in {file}."},
      {"was-playing", Level::info,
       "A saved whole configuration ({lines} lines) was being sent, too. Finishing sends it again, going "
       "back "
       "undoes it."},
      {"only-back", Level::info,
       "It can only be undone, because the arms weren't proven. Run armwise bench after that."},
      {"recover-later", Level::warn,
       "Left as it is: what that session changed may still be in the controller. Don't fly before armwise "
       "recover."},
      {"restart-differs", Level::warn, "After the restart: {differences}."},
      {"recovered-read-back", Level::info, "Read back after the restart: {state}."},
      {"recovered-new", Level::info,
       "Recovered: the controller holds what that session had proven. No record of it was made: armwise "
       "bench makes one."},
      {"recovered-old", Level::info, "Recovered: the controller is as it was before that session."},
      {"journal-damaged", Level::warn, "{damage}"},
      {"journal-unfinishable", Level::warn,
       "We can't tell how far that session got, so it can't be finished."},
      {"journal-of-nobody", Level::warn,
       "We can't tell which controller that session was with; it may be this one."},
      {"journal-without-before", Level::warn, "It doesn't say what the settings were before, either."},
      {"journal-aside", Level::info,
       "The damaged journal is kept as {file}. Nothing was changed: the settings may be half those of that "
       "session. Don't fly before armwise bench has proven it."},
      {"rest-unknown", Level::warn, "We don't know what else may differ: {why}"},
      {"rest-differs", Level::warn,
       "{lines} lines of the configuration have changed since before that session: {list}"},

      // teach: what it goes through, and what it has understood.
      {"listening", Level::info, "Listening. We send a few meaningless words, nothing else."},
      {"props-off-first", Level::warn,
       "Take the props off. Leave the battery unplugged until we ask for it."},
      {"line-end-unclear", Level::info, "How its lines end isn't clear yet. That takes a little longer."},
      {"console-found", Level::info,
       "Console found: prompt {prompt}, lines end with {line_end}, echo {echo}, errors {errors}."},
      {"talks-besides", Level::info,
       "Left out of its answers from now on: the time before each line ({stamp}), lines it says by itself "
       "({lines})."},
      {"way-out-wait", Level::info, "Leaving a bracket open, to see whether it asks on and what gets out."},
      {"way-out-found", Level::info,
       "An open bracket or quote makes it wait for more. {way} ends that, and goes before each stop."},
      {"prompt-changes", Level::info, "The prompt changes: we know it by \"{prompt}\" from now on."},
      {"line-reopened", Level::warn, "Connection lost; opening it again."},
      {"menu-line", Level::info, "  {line}"},
      {"reading", Level::info, "Read: {read}."},
      {"show-me", Level::info, "We can't tell how to read it. Please show us."},
      {"configuration-printed", Level::info, "Got it. Lines: {lines}."},
      {"long-reply", Level::info, "Still coming: {lines} lines so far."},
      {"will-send", Level::info, "For {values}, it will send: {command}"},
      {"effect-at-once", Level::info, "A setting takes effect at once."},
      {"effect-after-restart", Level::info, "A setting takes effect only after a restart."},
      {"pin-refused", Level::info, "It refuses a pin that's taken."},
      {"no-negative-angles", Level::info, "It takes no angle below zero; armwise adds a whole turn."},
      {"measuring", Level::info, "Measuring; keep it still."},
      {"read-otherwise", Level::info, "Other numbers fit these three poses: {values}. We read those."},
      {"axes-found", Level::info,
       "Its numbers stand for {axes} (x forward, y right, z down); 1 g is {per_g}."},
      {"axes-mirrored", Level::info,
       "The turns show that the accelerometer counts the other way round: its numbers stand for {axes}."},
      {"mount-at-once", Level::info, "The readings follow the mount at once, without a restart."},
      {"mount-not-shown", Level::info,
       "The readings are the board's own: the mount that's set doesn't change them."},
      {"code-confirmed", Level::info,
       "The readings follow the mount that's set, and code {code} turns them as the list says."},
      {"code-differs", Level::warn, "Code {code} turns the readings {off} away from what the list says."},
      {"convention-found", Level::info,
       "The readings follow the mount that's set. It {counts}, and applies the angles in the order {order}."},
      {"unit-differs", Level::warn,
       "You typed another unit: a degree is {per_degree} here. armwise uses what it measured."},
      {"signs-differ", Level::warn, "You typed other signs. armwise uses what it measured."},
      {"gyro-found", Level::info,
       "It's a gyro, with the accelerometer's axes; one degree a second reads {unit}."},
      {"gyro-unit-measured", Level::warn,
       "No common unit is near that, so armwise uses the scale of the turns you made."},
      {"stops-each", Level::info, "It stops each motor by itself: we told {motors} of them."},
      {"restarts-by-itself", Level::info, "Saving restarts it."},
      {"restart-by-hand", Level::warn, "It didn't restart. bench will ask you to restart it by hand."},
      {"ability", Level::info, "{line}"},
      {"commands-typed", Level::info, "You typed {typed} commands."},
      {"rehearsed", Level::info, "Rehearsed on the practice craft: a whole bench session went right."},
      {"not-rehearsed", Level::warn,
       "Not rehearsed, and bench can't use it yet. The profile doesn't say: {missing}."},
      {"rehearsal-gaps", Level::warn, "The rehearsal didn't cover: {not_covered}."},

      // teach: what was typed and is not taken.
      {"known-command", Level::warn,
       "That's the command that {does}. It wasn't sent; type another, or skip."},
      {"command-refused", Level::warn, "The console refused that; it said {answer}. Try again."},
      {"not-understood", Level::warn, "{why}"},
      {"not-in-it", Level::warn, "We don't see {missing} in it. Try again."},
      {"does-not-fit", Level::warn, "That doesn't fit what you typed before, and wasn't sent. Try again."},
      {"ambiguous", Level::warn,
       "That can be read in several ways: a number is in it more than once. Try again."},
      {"word-not-back", Level::warn, "The word must come back exactly once. Try another command."},
      {"codes-unfit", Level::warn, "Type each code once, with three angles."},
      {"hold-moved", Level::warn, "It moved while we measured. Rest it against something and hold it still."},
      {"axes-unclear", Level::warn, "No axes fit these three poses. Once more, please."},
      {"convention-unclear", Level::warn,
       "The readings follow the mount, but not in a clear way. Hold it still; once more."},
      {"turn-to-the-right", Level::info, "Once more, please, and to the right."},
      {"gyro-again", Level::warn, "{why} Once more, please: briskly, about a quarter turn each."},

      // teach: what is left out.
      {"identity-left-out", Level::warn, "Skipped: bench can't tell this controller from another."},
      {"ambiguous-left-out", Level::warn,
       "That can be read in several ways, and no example tells them apart: it's left out."},
      {"map-unreadable", Level::warn, "We can't read the map: it's left out."},
      {"directions-unreadable", Level::warn, "We can't read which way the motors turn: it's left out."},
      {"command-left-out", Level::warn, "The console refused \"{command}\": that command is left out."},
      {"not-as-set", Level::warn, "It doesn't read as it was set ({value}): setting it is left out."},
      {"mount-setting-left-out", Level::warn, "Setting the mount is left out."},
      {"angle-order-unsure", Level::warn,
       "Without names, or a command that sets them, we can't tell which number is which angle: the mount is "
       "left out."},
      {"trial-mount-refused", Level::warn, "The console didn't take that mount."},
      {"trial-mount-skipped", Level::warn, "We don't test how the mount changes the readings."},
      {"sense-too-late", Level::warn,
       "It answers too late to measure poses, so the readings are left out: you'll say how the board is "
       "mounted."},
      {"sense-unreadable", Level::warn, "The readings can't be read any more: they're left out."},
      {"sense-before-restart", Level::warn,
       "Before a restart, nobody sees whether the readings follow the mount: they're left out."},
      {"sense-unclear", Level::warn, "What the readings mean isn't clear: they're left out."},
      {"mount-left-out", Level::warn,
       "How it applies its mount isn't clear either: the mount is left out too."},
      {"gyro-left-out", Level::warn, "{why} The gyro is left out, and bench skips its turn check."},
      {"saving-left-out", Level::warn, "Saving is left out. A restart brings back what was saved before."},
      {"spin-left-out", Level::warn, "{why} Spinning is left out."},
      {"trial-unrecorded", Level::warn,
       "{why} It has been put back; armwise recover will still ask about it."},

      // teach: spins.
      {"slip-may-spin", Level::warn,
       "A typing slip here could start a motor. Leave the battery unplugged until we ask for it."},
      {"another-guess", Level::info, "Another guess ({number} of {count})."},
      {"pointed-alike", Level::warn, "\"{pointed}\" is the same in every line, so it isn't {what}."},
      {"note-the-motor", Level::info,
       "Note which motor spins: after the next spin we ask whether it's the same one."},
      {"spin-next", Level::danger, "Next, {motor} spins at throttle {throttle}. Any key stops it."},
      {"spin-cut-short", Level::warn, "The spin was cut short. Teach it once more."},
      {"spin-misheard", Level::danger,
       "It answered \"{answer}\": a byte may have changed on the way, so we stopped at once. Teach it once "
       "more; "
       "if that answer comes again, it's right."},
      {"stop-is-a-spin", Level::danger,
       "What you typed as the stop is a spin, and stops nothing. If a motor turns, pull the battery plug "
       "now."},
      {"stop-unseen", Level::danger,
       "Nobody has seen the stop command stop a motor yet. If one turns, keep clear and pull the battery "
       "plug "
       "now."},
      {"spin-unbounded", Level::warn,
       "This spin has no time in it: only a stop ends it. If armwise and its guard were both killed, the "
       "motor "
       "would keep turning. If the console takes a time, go back and type it."},
      {"no-more-spins", Level::warn, "No more spins. Unplug the battery."},

      // teach with a saved session.
      {"log-read", Level::info, "The prompt looks like \"{prompt}\", with {commands} commands behind it."},
  });
};

// Of a row of the table.
class StatementId {
 public:
  template <std::size_t size>
  // NOLINTNEXTLINE(*-avoid-c-arrays, *-explicit-*): so that an id stands where it is said as what it is, a
  // word.
  consteval StatementId(const char (&id)[size]) : row_(&row_of(std::string_view(id, size - 1))) {}

  const TableOfStatements::Row& row() const { return *row_; }

 private:
  static consteval const TableOfStatements::Row& row_of(std::string_view id) {
    for (const TableOfStatements::Row& row : TableOfStatements::rows) {
      if (row.id == id) return row;
    }
    throw "no statement in the table has this id";
  }

  const TableOfStatements::Row* row_;
};

// The sentence with its blanks filled. A blank that no value is given for stays as it stands.
std::string sentence_of(StatementId id, const Facts& facts);

}  // namespace armwise::session
