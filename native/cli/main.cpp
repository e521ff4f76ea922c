#include <cstdio>
#include <vector>

#include "cli/commands.h"

namespace {

constexpr char kAbout[] =
    "Intercusp checks how teeth meet and what happens when jaw segments move.\n"
    "A planning and teaching aid, not cleared as a medical device: verify its output against the records, and decide "
    "by\n"
    "licensed practice and local rules.";

struct Command {
  const char* name;
  const char* about;
  intercusp::cli::Run (*add)(CLI::App&);
};

constexpr Command kCommands[] = {
    {"new", "make a case from an upper and a lower scan", intercusp::cli::add_new},
    {"sample", "make a sample case of known truth, or list the samples", intercusp::cli::add_sample},
    {"info", "say what a case holds and what is missing", intercusp::cli::add_info},
    {"measure", "measure the bite", intercusp::cli::add_measure},
    {"contact", "find where bodies touch or overlap", intercusp::cli::add_contact},
    {"face", "record what the face says, or say what a plan makes of it", intercusp::cli::add_face},
    {"cut", "append a cut of the bone to a plan", intercusp::cli::add_cut},
    {"move", "append a movement to a plan", intercusp::cli::add_move},
    {"close", "turn the lower jaw about the hinge axis and append that to a plan", intercusp::cli::add_close},
    {"settle", "find where the arches seat best and append the movement to a plan", intercusp::cli::add_settle},
    {"splint", "make a printable splint that holds the arches as planned", intercusp::cli::add_splint},
    {"sheet", "write the one page for theatre as PDF", intercusp::cli::add_sheet},
    {"compare", "hold what was achieved against what was planned", intercusp::cli::add_compare},
    {"export", "write a body or the landmarks as a file of another kind", intercusp::cli::add_export},
    {"practice", "ask questions about generated bites and mark the answers", intercusp::cli::add_practice},
#ifdef INTERCUSP_WITH_WINDOW
    {"view", "open the desktop program", intercusp::cli::add_view},
#endif
    {"share", "put a case, sealed, on a server and get its links", intercusp::cli::add_share},
    {"fetch", "get a shared case by its link as a file", intercusp::cli::add_fetch},
    {"serve", "serve the web program and keep shared cases", intercusp::cli::add_serve},
};

/// Usage errors are exit code 2; --help and --version are done.
int report(const CLI::App& app, const CLI::ParseError& error) {
  const bool asked_for_text = error.get_exit_code() == static_cast<int>(CLI::ExitCodes::Success);
  app.exit(error);
  return asked_for_text ? 0 : 2;
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app{kAbout, "intercusp"};
  app.set_version_flag("--version", "intercusp " INTERCUSP_VERSION);
  app.require_subcommand(1);
  app.failure_message([](const CLI::App*, const CLI::Error& error) {
    return "intercusp: " + std::string(error.what()) + ".\nSee `intercusp --help`.\n";
  });
  std::vector<std::pair<CLI::App*, intercusp::cli::Run>> commands;
  for (const Command& command : kCommands) {
    CLI::App* sub = app.add_subcommand(command.name, command.about);
    commands.emplace_back(sub, command.add(*sub));
  }
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return report(app, error);
  }
  for (const auto& [sub, run] : commands) {
    if (sub->parsed()) return run();
  }
  return 2;
}
