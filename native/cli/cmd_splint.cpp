#include <cmath>
#include <cstdio>

#include <nlohmann/json.hpp>

#include "casebook/case_file.h"
#include "casebook/cut_case.h"
#include "casebook/digest.h"
#include "casebook/splint_case.h"
#include "casebook/splint_mend.h"
#include "cli/case_access.h"
#include "cli/commands.h"
#include "formats/mesh_writer.h"
#include "formats/threemf.h"

namespace intercusp::cli {

namespace {

struct SplintOptions {
  std::string path, plan, out, checked_by, opening, format = "text";
  SplintOrder order;
  std::string stage = "final";
  std::vector<std::string> relief;
  std::vector<double> upper_path, lower_path;
  bool straight = false, mend = false, plain = false, force = false;
};

std::string ending_of(const std::string& path) {
  const std::size_t dot = path.rfind('.');
  return dot == std::string::npos ? "" : path.substr(dot);
}

Status read_opening(SplintOptions& options) {
  if (options.opening.empty()) return Done{};
  if (options.opening == "auto") {
    options.order.open_for_thickness = true;
    return Done{};
  }
  const auto mm = whole_number(options.opening);
  if (!mm || *mm < 0 || *mm > 20) {
    return Error{"\"" + options.opening + "\" is not understood", "--opening",
                 "write millimetres at the incisors from 0 to 20, or auto"};
  }
  options.order.opening_mm = *mm;
  return Done{};
}

Status read_relief(SplintOptions& options) {
  for (const std::string& text : options.relief) {
    const std::size_t colon = text.find(':');
    const auto tooth = whole_number(text.substr(0, colon));
    const auto mm = colon == std::string::npos ? std::optional<double>(1.0) : whole_number(text.substr(colon + 1));
    if (!tooth || *tooth != std::floor(*tooth) || !mm || !(*mm > 0 && *mm <= 4)) {
      return Error{"\"" + text + "\" is not understood", "--relief", "write TOOTH or TOOTH:MM, for example 14:1.5"};
    }
    options.order.relief.emplace_back(static_cast<int>(*tooth), *mm);
  }
  return Done{};
}

void take_path(const std::vector<double>& asked, bool& given, std::array<double, 2>& tilt_deg) {
  given = asked.size() == 2;
  if (given) tilt_deg = {asked[0], asked[1]};
}

/// The file and the note beside it; neither is written when either is there already, unless forced.
Status save_both(const SplintOptions& options, const std::vector<std::uint8_t>& file, const std::string& note_text) {
  const std::string note_path = options.out.substr(0, options.out.size() - ending_of(options.out).size()) + ".txt";
  if (!options.force && read_file(note_path).ok()) {
    return Error{"the note beside the splint exists already", note_path, "choose another name or add --force"};
  }
  const Status saved = save_atomically(options.out, file, options.force);
  if (!saved.ok()) return saved;
  return save_atomically(note_path, std::vector<std::uint8_t>(note_text.begin(), note_text.end()), options.force);
}

Result<std::vector<std::uint8_t>> file_of(const SplintOptions& options, const Case& c, const Mesh& mesh) {
  if (ending_of(options.out) == ".stl") return write_stl(mesh);
  const std::string title = "Splint, " + options.stage + ", case " + c.id + ", plan " + options.plan;
  return write_3mf(mesh, title);
}

int run(SplintOptions& options) {
  const std::string ending = ending_of(options.out);
  if (ending != ".stl" && ending != ".3mf") {
    return fail({"\"" + ending + "\" is not a kind of file that splints are written as", options.out,
                 "end the name in .stl or .3mf"});
  }
  for (const Status& read : {read_opening(options), read_relief(options)}) {
    if (!read.ok()) return fail(read.error());
  }
  options.order.stage = options.stage == "intermediate" ? Moment::intermediate : Moment::planned;
  options.order.settings.find_path = !options.straight;
  options.order.raise_text = !options.plain;
  take_path(options.upper_path, options.order.settings.upper_path_given, options.order.settings.upper_tilt_deg);
  take_path(options.lower_path, options.order.settings.lower_path_given, options.order.settings.lower_tilt_deg);
  const auto opened = open_case(options.path);
  if (!opened.ok()) return fail(opened.error());
  const auto named = plan_named(opened.value(), options.plan);
  if (!named.ok()) return fail(named.error());
  const Plan& plan = *named.value();
  const auto cut = with_cuts(opened.value(), &plan);
  if (!cut.ok()) return fail(cut.error());
  const Case& c = cut.value();
  const std::string digest = plan_digest(opened.value(), plan);
  const auto made =
      options.mend ? mended_splint(c, plan, digest, options.order, {}) : splint_of_case(c, plan, digest, options.order);
  if (!made.ok()) return fail(made.error());
  const std::string text = splint_note(c, plan, made.value(), options.checked_by);
  const auto file = file_of(options, c, made.value().splint.mesh);
  if (!file.ok()) return fail(file.error());
  const Status saved = save_both(options, file.value(), text);
  if (!saved.ok()) return fail(saved.error());
  if (options.checked_by.empty()) {
    note("checked by nobody yet: not for use on a patient. Name who checked it with --checked-by NAME.");
  }
  for (const std::string& warning : splint_warnings(c, made.value())) note("warning: " + warning + ".");
  if (options.format == "json") {
    std::printf("%s\n", splint_report(c, plan, made.value()).dump(2).c_str());
  } else {
    std::printf("%s", text.c_str());
  }
  return kDone;
}

void add_settings(CLI::App& app, SplintOptions& options) {
  SplintSettings& s = options.order.settings;
  app.add_option("--clearance", s.clearance_mm, "between enamel and splint, mm (default 0.10)");
  app.add_option("--rim", s.rim_width_mm, "how far the rim reaches beyond the crowns' outline, mm (default 3)");
  app.add_option("--upper-depth", s.upper_depth_mm, "how far it reaches over the upper tips, mm (default 2.5)");
  app.add_option("--lower-depth", s.lower_depth_mm, "how far it reaches over the lower tips, mm (default 2.5)");
  app.add_option("--rounding", s.rounding_mm, "of the outer edges, mm (default 0.8)");
  app.add_option("--open-below", s.open_below_mm,
                 "between the arches, leave open what would be thinner than this, mm (default 0.4)");
  app.add_option("--overlap", s.overlap_mm,
                 "how far the arches may pass through each other in the plan, mm (default 1)");
  app.add_option("--step", s.step_mm, "spacing of the grid that the surface is taken from, mm (default 0.28)");
  app.add_option("--tolerance", s.tolerance_mm, "to which the imprints follow the teeth, mm (default 0.01)");
}

}  // namespace

Run add_splint(CLI::App& app) {
  auto options = std::make_shared<SplintOptions>();
  app.add_option("case", options->path, "the case file")->required();
  app.add_option("--plan", options->plan, "the plan whose relation the splint holds")->required();
  app.add_option("--stage", options->stage, "final (default), or intermediate: with the first jaw moved only")
      ->check(CLI::IsMember({"intermediate", "final"}));
  app.add_option("--opening", options->opening,
                 "open the lower jaw about the hinge axis by this at the incisors, mm (default 0); auto: as little as "
                 "leaves room for the least thickness");
  app.add_option_function<double>(
      "--least-thickness",
      [options](const double& mm) {
        options->order.settings.least_thickness_mm = mm;
        options->order.settings.refuse_thin = true;
      },
      "refuse to make a splint thinner than this anywhere, mm (not given: places thinner than 1 are reported)");
  add_settings(app, *options);
  app.add_flag("--straight", options->straight, "seat square to the chewing plane instead of along the best path");
  app.add_option("--upper-path", options->upper_path,
                 "how the upper arch comes off, instead of along the best path: degrees tilted forward and to the "
                 "patient's left (back and right are negative)")
      ->expected(2);
  app.add_option("--lower-path", options->lower_path, "the same for the lower arch")->expected(2);
  app.add_flag(
      "--mend", options->mend,
      "where it is thinner than asked, widen the rim, raise it or open the bite until it is not; the note says "
      "what was changed");
  app.add_option("--hole", options->order.holes, "teeth beside which, mesially, the outer rim gets a hole for a wire")
      ->expected(1, -1);
  app.add_option("--relief", options->relief,
                 "TOOTH or TOOTH:MM: more room (default 1 mm) around what is bonded to the outside of a tooth")
      ->expected(1, -1);
  app.add_option("--zone-room", options->order.settings.zone_room_mm,
                 "more room under zones painted on the arches, for arch bars and attachments, mm (default 0)");
  app.add_flag("--no-text", options->plain, "do not raise case, plan, stage and digest on the outer rim");
  app.add_option("--checked-by", options->checked_by, "who checked the splint; printed in the note beside the file");
  app.add_option("--format", options->format, "text (default) or json")->check(CLI::IsMember({"text", "json"}));
  app.add_option("-o,--output", options->out, "the file to write, .stl or .3mf; a note .txt is written beside it")
      ->required();
  app.add_flag("--force", options->force, "overwrite what is there");
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
