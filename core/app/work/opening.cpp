#include "app/work/opening.h"

#include <algorithm>
#include <cctype>

#include "app/view/layout.h"
#include "app/work/class_work.h"
#include "app/work/laid_aside.h"
#include "app/work/practice.h"
#include "app/work/review.h"
#include "app/work/surface_notes.h"
#include "app/work/surfaces.h"
#include "app/work/view_json.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

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

/// The results of a class go to the teacher's page, and are marked where it is known of which set they are.
Status take_results(Workspace& w, const std::string& name, const std::string& text) {
  open_class_page(w, ClassPage::results);
  const std::size_t lines = add_results(w, text);
  w.say({Message::Kind::note, std::to_string(lines) + (lines == 1 ? " new line from " : " new lines from ") + name, "",
         "", 0});
  return w.class_work->set_text.empty() ? Status(Done{}) : gather_class(w);
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
  take_document(w, Document(std::move(opened)));
}

void take_document(Workspace& w, Document opened) {
  lay_aside(w);
  if (w.review && !w.review->placing && in_review(w)) leave_review(w);
  w.clicked.reset();
  w.clicks_due.clear();
  w.document = std::move(opened);
  w.has_case = true;
  w.saved_revision = w.document.revision();
  w.keeps_nothing = false;
  w.looked_from.reset();
  w.plan = w.now().plans.empty() ? "" : w.now().plans.back().name;
  w.held = Moment::planned;
  w.pieces.forget();
  w.laid_cuts.forget();
  w.seating = {};
  w.splint = {};
  w.zones = {};
  w.laying = now_laid(w, {});  // how the scans of a file lie is its own affair
  w.role_asked.clear();
  w.readings.forget();
  w.contacts.forget();
  w.plates.forget();
  w.way.forget();
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
                   [&w, view] {
                     apply_view(w, view);
                     if (!w.now().plans.empty()) w.saved_revision = kNeverSaved;
                   });
}

Status open_file(Workspace& w, ReadFile file, const std::function<void()>& then) {
  const std::string name = file.name;
  const auto use = [&w, name, then](ErrandAnswer& answer) -> Status {
    w.wake();
    if (const auto* error = std::get_if<Error>(&answer)) return *error;
    if (const auto* landmarks = std::get_if<LandmarksRead>(&answer)) return take_landmarks(w, landmarks->landmarks);
    if (const auto* progress = std::get_if<ProgressRead>(&answer)) return join_progress(w, progress->text);
    if (const auto* results = std::get_if<ResultsRead>(&answer)) return take_results(w, name, results->text);
    w.class_open = false;  // a case is to be seen
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

void apply_view(Workspace& w, const std::string& text) {
  const auto parsed = parse_json(text.data(), text.size());
  if (parsed) read_view(w, parsed.value());
}

}  // namespace intercusp
