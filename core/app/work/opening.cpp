#include "app/work/opening.h"

#include <algorithm>
#include <cctype>

#include "app/view/layout.h"
#include "app/work/review.h"
#include "app/work/surface_notes.h"
#include "app/work/view_json.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

// The body that a scan becomes: by a word in its file's name, else the first arch that is missing. The name itself is
// not kept.
std::string body_for(const Case& c, std::string file) {
  std::transform(file.begin(), file.end(), file.begin(), [](unsigned char x) { return std::tolower(x); });
  const auto has = [&](const char* word) { return file.find(word) != std::string::npos; };
  const bool bone = has("bone");
  if (has("upper") || has("maxill")) return bone ? "upper_bone" : "upper_arch";
  if (has("lower") || has("mandib")) return bone ? "lower_bone" : "lower_arch";
  if (!c.find_body("upper_arch")) return "upper_arch";
  return "lower_arch";
}

void add_body(Workspace& w, const std::string& name, ReadySurface ready) {
  if (in_review(w)) {  // the others do not have this scan
    leave_review(w);
    w.say({Message::Kind::note, "The case here is no longer the shared one",
           "a scan was opened that the others do not have", "share it again to go on together", 0});
  }
  keep_notes(w, ready.surface, std::move(ready.notes));
  // Scans that are opened over a sample begin a case of their own.
  const bool fresh = !w.has_case || !w.now().recipe.empty();
  Case next = fresh ? Case{} : w.now();
  if (fresh) next.id = "case";
  Body body{name, std::move(ready.surface), std::move(ready.mesh_sha256)};
  const auto old = std::find_if(next.bodies.begin(), next.bodies.end(), [&](const Body& b) { return b.name == name; });
  old == next.bodies.end() ? next.bodies.push_back(std::move(body)) : void(*old = std::move(body));
  settle_frame(next);
  if (fresh) {
    take_case(w, std::move(next));
    w.stop = Stop::records;
  } else {
    w.document.change(std::move(next), "Opened the " + body_words(name));
    w.refresh();
    for (std::size_t i = 0; i < w.views.size(); ++i) send_view(w, i, "fit");
  }
  for (const std::string& finding : findings_of(w, *w.now().find_body(name)))
    w.say({Message::Kind::note, finding, "the scan opened", "", 0});
  w.say({Message::Kind::note, "Opened the " + body_words(name), "", "", 0});
}

void take_scan(Workspace& w, const std::string& file, ScanRead& scan) {
  for (const std::string& remark : scan.remarks) w.say({Message::Kind::note, remark, "the scan opened", "", 0});
  const std::string body = body_for(w.has_case && w.now().recipe.empty() ? w.now() : Case{}, file);
  if (scan.ready) return add_body(w, body, std::move(*scan.ready));
  w.say({Message::Kind::warning, scan.unit.sentence, "the scan waits", "choose its unit on the left", 0});
  w.waiting_scan = WaitingScan{body, std::move(scan.mesh), std::move(scan.unit)};
  w.stop = Stop::records;
  w.left_open = true;
}

Status take_landmarks(Workspace& w, const LandmarkSet& landmarks) {
  if (!w.has_case) return Error{"there is no case for these landmarks yet", "", "open the scans first"};
  Case next = w.now();
  for (const auto& [name, mark] : landmarks) next.landmarks[name] = mark;
  next.landmarks_edited = true;
  settle_frame(next);
  w.document.change(std::move(next), "Opened " + std::to_string(landmarks.size()) + " landmarks");
  w.refresh();
  for (std::size_t i = 0; i < w.views.size(); ++i) send_view(w, i, "fit");
  w.say({Message::Kind::note, std::to_string(landmarks.size()) + " landmarks opened", "", "", 0});
  return Done{};
}

/// Makes an opened case the one worked on.
void take_opened(Workspace& w, CaseOpened& opened) {
  for (std::size_t i = 0; i < opened.opened.bodies.size() && i < opened.notes.size(); ++i)
    keep_notes(w, opened.opened.bodies[i].surface, std::move(opened.notes[i]));
  take_case(w, std::move(opened.opened));
  if (!opened.view_json.empty()) apply_view(w, opened.view_json);
}

/// Has an errand done whose answer is a case, and then does the rest.
Status open_with(Workspace& w, Errand errand, const std::string& words, const std::function<void()>& then,
                 bool only_if_empty = false) {
  return w.errands.go(std::move(errand), words, [&w, then, only_if_empty](ErrandAnswer& answer) -> Status {
    if (const auto* error = std::get_if<Error>(&answer)) return *error;
    if (only_if_empty && w.has_case) return Done{};
    if (auto* opened = std::get_if<CaseOpened>(&answer)) take_opened(w, *opened);
    if (then) then();
    w.refresh();
    return Done{};
  });
}

}  // namespace

void take_case(Workspace& w, Case opened) {
  if (w.review && !w.review->placing && in_review(w)) leave_review(w);
  w.clicked.reset();
  w.clicks_due.clear();
  w.document = Document(std::move(opened));
  w.has_case = true;
  w.plan = w.now().plans.empty() ? "" : w.now().plans.back().name;
  w.held = Moment::planned;
  w.pieces.forget();
  w.laid_cuts.forget();
  w.seating = {};
  w.splint = {};
  w.zones = {};
  w.readings.forget();
  w.contacts.forget();
  w.plates.forget();
  w.removal.forget();
  w.chosen_plate = -1;
  w.section = {};
  w.explained.clear();
  w.landmark_wanted.clear();
  w.tool = Tool::turn;
  w.chosen_clearance = -1;
  w.locked.clear();
  const bool asked = w.popover == Popover::join && !(w.review && w.review->placing);
  if (!asked) w.popover = Popover::none;  // who follows a link is still asked who they are
  w.segment = "upper";
  w.refresh();
  w.fit_due = true;
  w.wake();
}

Status open_sample(Workspace& w, const std::string& name, std::optional<std::uint64_t> seed, std::uint32_t triangles,
                   bool with_bone, const std::function<void()>& then) {
  return open_with(w, MakeSample{name, seed, triangles, with_bone}, "Making the sample", then);
}

MakeSample first_sample() {
  constexpr std::uint32_t kFirstTriangles = 40000;
  return {"class3", std::nullopt, kFirstTriangles, false};
}

Status open_first_sample(Workspace& w, const std::function<void()>& then) {
  return open_with(w, first_sample(), "Making the sample", then, true);
}

Status open_link(Workspace& w, const std::string& fragment) {
  return open_with(w, OpenLink{fragment}, "Making the case of the link", {});
}

Status restore_work(Workspace& w, std::vector<std::uint8_t> bytes, const std::string& view) {
  return open_with(w, ReadFile{"the work kept here", std::move(bytes), 0, nullptr, 0}, "Opening the work kept here",
                   [&w, view] { apply_view(w, view); });
}

Status open_file(Workspace& w, ReadFile file, const std::function<void()>& then) {
  const std::string name = file.name;
  const auto use = [&w, name, then](ErrandAnswer& answer) -> Status {
    w.wake();
    if (const auto* error = std::get_if<Error>(&answer)) return *error;
    if (const auto* landmarks = std::get_if<LandmarksRead>(&answer)) return take_landmarks(w, landmarks->landmarks);
    if (auto* scan = std::get_if<ScanRead>(&answer)) take_scan(w, name, *scan);
    if (auto* opened = std::get_if<CaseOpened>(&answer)) {
      take_opened(w, *opened);
      w.stop = w.now().plans.empty() ? Stop::bite : Stop::movement;
    }
    if (then) then();
    return Done{};
  };
  return w.errands.go(std::move(file), "Reading " + name, use);
}

Status answer_units(Workspace& w, const std::string& unit) {
  if (!w.waiting_scan) return Error{"no scan waits for its unit", "", ""};
  const auto factor = factor_to_mm(unit);
  if (!factor) return Error{"\"" + unit + "\" is not a unit", "", "use mm, cm, m or inch"};
  WaitingScan scan = std::move(*w.waiting_scan);
  w.waiting_scan.reset();
  return w.errands.go(ScaleScan{std::move(scan.mesh), *factor}, "Reading the " + body_words(scan.body),
                      [&w, name = scan.body](ErrandAnswer& answer) -> Status {
                        if (const auto* error = std::get_if<Error>(&answer)) return *error;
                        if (auto* ready = std::get_if<ReadySurface>(&answer)) add_body(w, name, std::move(*ready));
                        return Done{};
                      });
}

void apply_view(Workspace& w, const std::string& text) {
  const auto parsed = parse_json(text.data(), text.size());
  if (parsed) read_view(w, parsed.value());
}

}  // namespace intercusp
