#include "app/work/opening.h"

#include <algorithm>
#include <cctype>

#include "app/view/layout.h"
#include "app/work/body_findings.h"
#include "app/work/view_json.h"
#include "base/json_read.h"
#include "casebook/case_file.h"
#include "casebook/recipe_link.h"
#include "formats/mesh_reader.h"
#include "formats/units.h"

namespace intercusp {

namespace {

bool starts_with(const std::uint8_t* bytes, std::size_t size, const char* word) {
  const std::string w(word);
  return size >= w.size() && std::equal(w.begin(), w.end(), bytes);
}

// Whether a text begins like JSON, after white space.
bool looks_like_json(const std::uint8_t* bytes, std::size_t size) {
  for (std::size_t i = 0; i < std::min<std::size_t>(size, 256); ++i)
    if (!std::isspace(bytes[i])) return bytes[i] == '{';
  return false;
}

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

std::string body_words(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

void add_body(Workspace& w, const std::string& name, Mesh mesh) {
  // Scans that are opened over a sample begin a case of their own.
  const bool fresh = !w.has_case || !w.now().recipe.empty();
  Case next = fresh ? Case{} : w.now();
  if (fresh) next.id = "case";
  Body body = make_body(name, Surface::make(std::move(mesh)));
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
}

Status open_scan(Workspace& w, const std::string& name, const std::uint8_t* bytes, std::size_t size) {
  auto read = read_mesh(bytes, size, name);
  if (!read) return read.error();
  for (const std::string& note : read.value().notes.sentences())
    w.say({Message::Kind::note, note, "the scan opened", "", 0});
  const std::string body = body_for(w.has_case && w.now().recipe.empty() ? w.now() : Case{}, name);
  Mesh mesh = std::move(read.value().mesh);
  const UnitGuess guess = guess_units(bounds(mesh).sizes().maxCoeff());
  if (!guess.certainly_mm) {
    w.waiting_scan = WaitingScan{body, std::move(mesh), guess};
    w.stop = Stop::records;
    w.left_open = true;
    w.say({Message::Kind::warning, guess.sentence, "the scan waits", "choose its unit on the left", 0});
    return Done{};
  }
  add_body(w, body, std::move(mesh));
  w.say({Message::Kind::note, "Opened the " + body_words(body), "", "", 0});
  return Done{};
}

Status open_landmarks(Workspace& w, const std::uint8_t* bytes, std::size_t size) {
  auto set = parse_landmarks(std::string(bytes, bytes + size));
  if (!set) return set.error();
  if (!w.has_case) return Error{"there is no case for these landmarks yet", "", "open the scans first"};
  Case next = w.now();
  for (const auto& [name, mark] : set.value()) next.landmarks[name] = mark;
  next.landmarks_edited = true;
  settle_frame(next);
  w.document.change(std::move(next), "Opened " + std::to_string(set.value().size()) + " landmarks");
  w.refresh();
  for (std::size_t i = 0; i < w.views.size(); ++i) send_view(w, i, "fit");
  w.say({Message::Kind::note, std::to_string(set.value().size()) + " landmarks opened", "", "", 0});
  return Done{};
}

}  // namespace

void take_case(Workspace& w, Case opened) {
  w.clicked.reset();
  w.click_due.reset();
  w.doubtful.clear();
  w.document = Document(std::move(opened));
  w.has_case = true;
  w.plan = w.now().plans.empty() ? "" : w.now().plans.back().name;
  w.show_start = false;
  w.readings.forget();
  w.contacts.forget();
  w.section = {};
  w.explained.clear();
  w.landmark_wanted.clear();
  w.tool = Tool::turn;
  w.chosen_clearance = -1;
  w.locked.clear();
  w.popover = Popover::none;
  const auto movable = movable_segments(w.now());
  if (!movable.empty()) w.segment = movable.front();
  w.refresh();
  w.fit_due = true;
  w.wake();
}

Status open_sample(Workspace& w, const std::string& name, std::optional<std::uint64_t> seed, std::uint32_t triangles) {
  auto made = case_from_sample(name, seed, triangles, false);
  if (!made) return made.error();
  take_case(w, std::move(made.value()));
  return Done{};
}

Status open_bytes(Workspace& w, const std::string& name, const std::uint8_t* bytes, std::size_t size) {
  if (size == 0) return Error{"the file is empty", name, "choose another file or export it again"};
  if (starts_with(bytes, size, "glTF")) {
    auto opened = read_case(bytes, size);
    if (!opened) return opened.error();
    take_case(w, std::move(opened.value()));
    w.stop = w.now().plans.empty() ? Stop::bite : Stop::movement;
    return Done{};
  }
  if (looks_like_json(bytes, size)) return open_landmarks(w, bytes, size);
  return open_scan(w, name, bytes, size);
}

Status answer_units(Workspace& w, const std::string& unit) {
  if (!w.waiting_scan) return Error{"no scan waits for its unit", "", ""};
  const auto factor = factor_to_mm(unit);
  if (!factor) return Error{"\"" + unit + "\" is not a unit", "", "use mm, cm, m or inch"};
  WaitingScan scan = std::move(*w.waiting_scan);
  w.waiting_scan.reset();
  for (Vec3f& p : scan.mesh.positions) p *= static_cast<float>(*factor);
  add_body(w, scan.body, std::move(scan.mesh));
  return Done{};
}

void apply_view(Workspace& w, const std::string& text) {
  const auto parsed = parse_json(text.data(), text.size());
  if (parsed) read_view(w, parsed.value());
}

}  // namespace intercusp
