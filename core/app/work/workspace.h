#pragma once

#include <algorithm>
#include <deque>
#include <functional>
#include <limits>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "anatomy/arch_fit.h"
#include "app/errands/errand_desk.h"
#include "app/host.h"
#include "app/render/picture_shelf.h"
#include "app/render/renderer.h"
#include "app/scene/answer_watch.h"
#include "app/scene/bone_removal.h"
#include "app/scene/contact_watch.h"
#include "app/scene/laid_cuts.h"
#include "app/scene/painted_zones.h"
#include "app/scene/planned_case.h"
#include "app/scene/readings.h"
#include "app/scene/splint_work.h"
#include "app/view/camera.h"
#include "casebook/document.h"
#include "formats/jpeg.h"
#include "formats/units.h"

namespace intercusp {

/// The stops of the line at the foot, in order.
enum class Stop { records, bite, target, cuts, movement, clearance, splint, sheet, agree };
constexpr int kStops = 9;
constexpr double kNever = std::numeric_limits<double>::infinity();  ///< on the app's clock
const char* stop_name(Stop stop);
std::optional<Stop> stop_of(const std::string& name);

/// What the clearance stop shows.
/// What the way of a plan depends on: the document's revision, the pieces' version and the plan's name; not on the
/// position that is shown.
struct WayKey {
  std::uint64_t revision = 0, pieces = 0;
  std::string plan;
  bool operator==(const WayKey& o) const { return revision == o.revision && pieces == o.pieces && plan == o.plan; }
};

enum class ClearancePage { in_way, taken_off, plates };

/// A message to the person: what happened, what it means for the case, what to do.
struct Message {
  enum class Kind { note, warning, failure } kind = Kind::note;
  std::string what, meaning, remedy;
  double until = 0;  ///< seconds on the app's clock; 0 = set when first shown
};

/// One view on the screen. `record` names the record view that it was last set to, for the label; empty after turning.
struct View {
  Camera camera;
  std::string record;
  Shown shown = Shown::all;
  Rect rect;          ///< device pixels in the window
  float covered = 0;  ///< device pixels at its top that tools stand over
};

/// A camera on its way.
struct Glide {
  std::size_t view = 0;
  Camera from, to;
  double begin = 0, end = 0;
};

struct Section {
  bool on = false;
  std::string axis = "sagittal";   ///< sagittal, frontal or level
  double place_mm = 0;             ///< mm to the left of the incisors measured, in front of them, or above their plane
  std::optional<Vec3> at, normal;  ///< set when the section goes through a clearance place instead
};

struct GapView {
  bool on = false;
  float limit_mm = 1.0f;
  GapMode mode = GapMode::signed_gap;
};

/// Positions in which the arches seat, to choose from.
struct Seating {
  SettleSettings settings;
  std::string jaw;  ///< chosen to move: upper, pieces or lower; empty: see seated_jaw
  std::vector<SettleOffer> offers;
  int taken = -1;              ///< the one in the plan
  std::uint64_t revision = 0;  ///< of the document that they belong to
};

/// A scan that was read but whose unit must be asked first.
struct WaitingScan {
  std::string body;  ///< that it is likely to become
  std::string file;  ///< its name, forgotten with the question
  Mesh mesh;
  UnitGuess guess;
};

/// How scans were laid on bone last. Whether they still lie so, see lies_on_bone.
struct Laying {
  SurfacePtr scan, bone;
  std::vector<std::string> words;
};

/// What the hand on the view is about to do.
enum class Tool { turn, place_landmark, choose_pivot, click_teeth, place_remark, paint_zone, rule };

/// What the last click on a tooth proposed.
struct ClickedTooth {
  int tooth = 0;
  bool sure = true;  ///< of the number
  std::size_t points = 0;
};

/// A click on a tooth that waits until the arch is found on the scan.
struct ToothClick {
  std::string body;
  Vec3 at = Vec3::Zero();  ///< patient frame, at rest
};

/// Steps of the one-minute try.
constexpr int kGuideSteps = 4;

enum class Popover { none, share, keys, start, name_case, show, history, join, people, plans, kept };

/// Two plans as they were compared last.
struct PlansBeside {
  std::shared_ptr<const nlohmann::json> report;  ///< see plans_beside; null: none was asked for
  std::uint64_t revision = 0;                    ///< of the case that was compared
};

/// Who one says one is to the others of a shared case, while it is typed.
struct Introduction {
  std::string name, role;
  bool keep = true;  ///< false: a shared computer, on which nothing stays
  int days = 14;
  bool read = false;  ///< what an earlier visit kept was looked up
};

constexpr std::uint64_t kNeverSaved = ~0ull;

/// A case that was worked on and not saved when another one was opened.
struct LaidAside {
  Document document;
  std::string plan;
  Stop stop = Stop::movement;
};

/// From where a view was looked at before it went to a place of a list.
struct LookedFrom {
  std::size_t view = 0;
  View before;
};

struct PracticeState;
struct ClassWork;
struct ReviewState;

/// Everything the panels read and change: the case with its history, what is derived from it, and how it is looked at.
struct Workspace {
  explicit Workspace(Host& h) : host(h) {
    errands.set_runner(h.errand_runner());
    errands.set_shelf(h.sample_shelf());
  }

  Host& host;
  ErrandDesk errands;
  Document document;
  bool has_case = false;
  /// Of the document, when a file was last made of it; kNeverSaved: a plan that only this place kept.
  std::uint64_t saved_revision = 0;
  std::optional<LaidAside> laid_aside;
  bool keeps_nothing = false;     ///< a shared computer: no copy of this case stays here
  std::string plan;               ///< the plan worked on; empty = none made yet
  Moment held = Moment::planned;  ///< the position of the plan that is looked at
  Stop stop = Stop::movement;
  std::string segment = "upper";
  std::map<std::string, bool> locked;      ///< quantities of the movement note that stay
  std::set<std::string> asked_quantities;  ///< quantities of the note that are shown though they are zero

  PlannedCase pieces;  ///< the plan's cuts made
  Seating seating;
  SplintWork splint;
  LaidCuts laid_cuts;  ///< the same cuts as lines, while they are laid
  PaintedZones zones;
  Readings readings;
  ContactWatch contacts;
  /// Gaps, steps and screws where plates go, in the position shown; empty where no plate site is known.
  AnswerWatch<PlatesMeasured, &PlatesMeasured::gaps> plates;
  /// Teeth that pass through each other on the way of the plan.
  AnswerWatch<WayWalked, &WayWalked::overlaps, WayKey> way;
  BoneRemoval removal;
  /// The average arch on a body, for proposals; by body name, made when first asked for.
  struct ArchOnBody {
    SurfacePtr surface;  ///< what it was laid on
    ArchFit fit;
  };
  std::map<std::string, ArchOnBody> arches;
  /// What is worked out about each surface once; see notes_on in work/surface_notes.h.
  mutable std::map<SurfacePtr, SurfaceNotes> surface_notes;
  std::optional<ClickedTooth> clicked;
  std::deque<ToothClick> clicks_due;

  std::vector<View> views{1};
  std::size_t active_view = 0;
  std::string layout = "one";         ///< one, two, four, record; arches while teeth are clicked
  std::string layout_before = "one";  ///< that one to go back to then
  std::optional<Glide> glide;
  std::optional<LookedFrom> looked_from;
  Section section;
  GapView gap;
  bool ghost = true, show_upper = true, show_lower = true;
  bool through_upper = false, through_lower = false;  ///< drawn see-through
  bool tooth_numbers = false;
  std::string trimmed;  ///< the jaw shown with what overlaps taken off: upper, lower; empty = none
  std::function<RgbPicture()> picture_of_view;  ///< the active view as it is drawn; null or empty without a screen
  PictureShelf shelf;
  std::string picture_due;  ///< file name of a picture of the active view that is to be taken in the next frame
  Tool tool = Tool::turn;
  std::string landmark_wanted;
  std::string open_tooth = "none";  ///< tooth whose landmarks the list shows
  bool snap = true;
  double brush_mm = 2;        ///< radius of the brush of zones
  bool erasing = false;       ///< the brush wipes off
  std::string snap_words;     ///< what the last snap found
  std::string explained;      ///< measure whose explanation is open; drawn on the model
  bool explain_more = false;  ///< the whole definition is shown, not its first sentence
  CutKind chosen_cut = CutKind::lefort1;
  bool face_open = false;                                 ///< the form of what is recorded of the face
  bool all_cut_settings = false, all_cut_places = false;  ///< lists that begin short
  ClearancePage clearance_page = ClearancePage::in_way;
  int chosen_clearance = -1, chosen_plate = -1;
  bool stability_open = false;     ///< the remarks on how moves hold are shown in full
  bool all_places = false;         ///< the clearance list shows every place, not the deepest few
  bool samples_with_bone = false;  ///< samples open with jaw bones and roots
  Popover popover = Popover::none;
  bool sure_to_erase = false;  ///< what is kept here: asked once
  int guide = -1;              ///< the one-minute try: -1 away, 0 offered, then the step

  std::string theme_choice = "system";
  bool left_open = true, right_open = true;
  std::set<std::string> rows_hidden;  ///< measures that the person put away from the number table
  bool choosing_rows = false;
  std::optional<WaitingScan> waiting_scan;
  std::string role_asked;  ///< body of which it is being said what it is
  Laying laying;
  std::vector<Vec3> rule;  ///< the ends of the ruler while it is in the hand, at most two, patient frame
  bool fit_due = false;    ///< the views are to be fitted once their rectangles are known
  float scale = 1;
  double nudge_mm = 0.5, nudge_deg = 0.5;

  std::deque<Message> messages;
  double seconds = 0;
  bool reduced_motion = false;
  bool dragging = false;  ///< a handle or a number is being dragged
  bool moving = false;    ///< a view is turning
  std::uint64_t frames_drawn = 0, scenes_drawn = 0;
  double last_scene_ms = 0;
  int wake_frames = 3;
  double look_at = kNever;  ///< see wake_at

  std::shared_ptr<PracticeState> practice;  ///< null: practice is not open; see work/practice.h
  std::shared_ptr<ClassWork> class_work;    ///< of the teacher's page, also while it is closed; see work/class_work.h
  bool class_open = false;                  ///< the teacher's page stands in front of everything

  PlansBeside beside;
  Introduction introduction;
  std::shared_ptr<ReviewState> review;  ///< null: the case is not shared; see work/review.h

  const Case& now() const { return document.now(); }
  /// The fingerprint of the plan worked on; empty without one. Worked out once a revision.
  const std::string& plan_fingerprint() const;
  /// Whether the plan's cuts are made, so that what needs the pieces can go on; the Error says what to do.
  Status pieces_ready() const;
  const Plan* current_plan() const { return plan.empty() ? nullptr : now().find_plan(plan); }
  /// The position that the views show and the readings are of: the start where there is no plan, and while cuts are
  /// laid on the bone; in between only while both jaws are moved.
  Moment moment() const;
  /// Whether what is shown has a movement in it, so that a start stands beside it.
  bool moved() const { return moment() != Moment::rest && !current_plan()->entries.empty(); }
  /// "at the start", "plan A", "plan A in between".
  std::string moment_words() const;
  /// The plan whose movements the views show; null at the start.
  const Plan* shown_plan() const { return moment() == Moment::rest ? nullptr : current_plan(); }
  /// The case with the plan's cuts made, as far as that is done.
  const Case& planned() const { return pieces.in_pieces() ? *pieces.in_pieces() : now(); }
  /// The case as the views show it: whole at the start, in pieces after the cuts.
  const Case& shown() const { return moment() == Moment::rest ? now() : planned(); }
  void wake(int frames = 3) { wake_frames = std::max(wake_frames, frames); }
  /// Something on the screen changes when `seconds` reaches that time, though nothing else asks for a frame: nothing is
  /// drawn until then. Said anew in every frame.
  void wake_at(double when) { look_at = std::min(look_at, when); }
  void say(Message message);
  void say_error(const Error& error, const std::string& meaning);
  /// Brings readings up to date with the document; cheap when nothing changed.
  void refresh();

 private:
  void choose_movable_segment();

  struct KeptFingerprint {
    std::uint64_t revision = ~0ull;
    std::string plan, value;
  };
  mutable KeptFingerprint kept_fingerprint;  ///< for plan_fingerprint alone
};

}  // namespace intercusp
