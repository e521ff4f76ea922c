#include "app/work/surfaces.h"

#include <algorithm>

#include "app/scene/words.h"
#include "app/work/opening.h"
#include "app/work/review.h"
#include "app/work/surface_notes.h"
#include "casebook/surface_role.h"

namespace intercusp {

namespace {

/// Whether a scan that is opened begins a case of its own: there is none, or a sample.
bool begins_case(const Workspace& w) {
  return !w.has_case || !w.now().recipe.empty();
}

const Case& case_added_to(const Workspace& w) {
  static const Case none;
  return begins_case(w) ? none : w.now();
}

const Body* upper_bone_of(const Case& c) {
  const auto found =
      std::find_if(c.bodies.begin(), c.bodies.end(), [](const Body& body) { return is_upper_bone(body.name); });
  return found == c.bodies.end() ? nullptr : &*found;
}

/// The others of a shared case do not have what is changed here.
void leave_shared(Workspace& w, const char* why) {
  if (!in_review(w)) return;
  leave_review(w);
  w.say({Message::Kind::note, "The case here is no longer the shared one", why, "share it again to go on together", 0});
}

void show_changed(Workspace& w, Case next, const std::string& words) {
  w.document.change(std::move(next), words);
  w.refresh();
  for (std::size_t i = 0; i < w.views.size(); ++i) send_view(w, i, "fit");
}

void add_body(Workspace& w, const std::string& name, ReadySurface ready) {
  leave_shared(w, "a scan was opened that the others do not have");
  keep_notes(w, ready.surface, std::move(ready.notes));
  const bool fresh = begins_case(w);
  Case next = case_added_to(w);
  if (fresh) next.id = "case";
  Body body{name, std::move(ready.surface), std::move(ready.mesh_sha256)};
  const auto old = std::find_if(next.bodies.begin(), next.bodies.end(), [&](const Body& b) { return b.name == name; });
  old == next.bodies.end() ? next.bodies.push_back(std::move(body)) : void(*old = std::move(body));
  settle_frame(next);
  if (fresh) {
    take_case(w, std::move(next));
    w.stop = Stop::records;
  } else {
    show_changed(w, std::move(next), "Opened the " + body_words(name));
  }
  for (const std::string& finding : findings_of(w, *w.now().find_body(name)))
    w.say({Message::Kind::note, finding, "the scan opened", "", 0});
  w.say({Message::Kind::note, "Opened the " + body_words(name), "", "", 0});
}

/// As a person reads it: how the scans lie first, then what each bone can be used for.
std::vector<std::string> laying_words(const Case& c, std::vector<std::string> said) {
  const auto of_bone = [&](const std::string& words) {
    return std::any_of(c.bodies.begin(), c.bodies.end(),
                       [&](const Body& body) { return words.rfind(body.name + ":", 0) == 0; });
  };
  std::stable_partition(said.begin(), said.end(), [&](const std::string& words) { return !of_bone(words); });
  for (std::string& words : said) {
    words = capital(body_words(words));
    if (words.back() != '.') words += '.';
  }
  return said;
}

void take_laid(Workspace& w, ScansLaid& laid) {
  if (!laid.moved.empty()) {
    leave_shared(w, "the scans were laid on the bone, which the others do not see");
    Case next = w.now();
    for (ScansLaid::Scan& scan : laid.moved) {
      keep_notes(w, scan.ready.surface, std::move(scan.ready.notes));
      for (Body& body : next.bodies)
        if (body.name == scan.body)
          body = {scan.body, std::move(scan.ready.surface), std::move(scan.ready.mesh_sha256)};
    }
    next.landmarks = std::move(laid.landmarks);
    next.landmarks_edited = true;
    settle_frame(next);
    show_changed(w, std::move(next), "Laid the scans on the bone");
  }
  w.laying = now_laid(w, laying_words(w.now(), std::move(laid.said)));
  w.stop = Stop::records;
  w.left_open = true;
}

}  // namespace

void take_scan(Workspace& w, const std::string& file, ScanRead& scan) {
  for (const std::string& remark : scan.remarks) w.say({Message::Kind::note, remark, "the scan opened", "", 0});
  const double extent = scan.ready ? scan.ready->surface->box().sizes().maxCoeff() : 0;
  const std::string body = likely_role(case_added_to(w), file, extent);
  if (scan.ready) return add_body(w, body, std::move(*scan.ready));
  w.say({Message::Kind::warning, scan.unit.sentence, "the scan waits", "choose its unit on the left", 0});
  w.waiting_scan = WaitingScan{body, file, std::move(scan.mesh), std::move(scan.unit)};
  w.stop = Stop::records;
  w.left_open = true;
}

Status answer_units(Workspace& w, const std::string& unit) {
  if (!w.waiting_scan) return Error{"no scan waits for its unit", "", ""};
  const auto factor = factor_to_mm(unit);
  if (!factor) return Error{"\"" + unit + "\" is not a unit", "", "use mm, cm, m or inch"};
  WaitingScan scan = std::move(*w.waiting_scan);
  w.waiting_scan.reset();
  const std::string body = likely_role(case_added_to(w), scan.file, bounds(scan.mesh).sizes().maxCoeff() * *factor);
  return w.errands.go(ScaleScan{std::move(scan.mesh), *factor}, "Reading the " + body_words(body),
                      [&w, name = body](ErrandAnswer& answer) -> Status {
                        if (const auto* error = std::get_if<Error>(&answer)) return *error;
                        if (auto* ready = std::get_if<ReadySurface>(&answer)) add_body(w, name, std::move(*ready));
                        return Done{};
                      });
}

Status set_role(Workspace& w, const std::string& body, const std::string& role) {
  if (!w.has_case || !w.now().recipe.empty())
    return Error{"what the surfaces of a sample are is known", "", "open scans of your own"};
  Case next = w.now();
  const Status changed = change_role(next, body, role);
  if (!changed || body == role) return changed;
  leave_shared(w, "a surface was named another one, which the others do not see");
  settle_frame(next);
  w.role_asked.clear();
  show_changed(w, std::move(next), "The " + body_words(body) + " is the " + body_words(role));
  return Done{};
}

bool can_lay_on_bone(const Workspace& w) {
  return w.has_case && w.now().recipe.empty() && w.now().find_body("upper_arch") && upper_bone_of(w.now());
}

Laying now_laid(const Workspace& w, std::vector<std::string> words) {
  const Body *scan = w.now().find_body("upper_arch"), *bone = upper_bone_of(w.now());
  return {scan ? scan->surface : nullptr, bone ? bone->surface : nullptr, std::move(words)};
}

bool lies_on_bone(const Workspace& w) {
  const Laying now = now_laid(w, {});
  return now.scan == w.laying.scan && now.bone == w.laying.bone;
}

Status lay_on_bone(Workspace& w) {
  if (!can_lay_on_bone(w))
    return Error{"scans can be laid on bone where there are an upper scan and an upper jaw bone", "", "open both"};
  return w.errands.go(LayScansOnBone{w.now()}, "Laying the scans on the bone",
                      [&w, revision = w.document.revision()](ErrandAnswer& answer) -> Status {
                        if (const auto* error = std::get_if<Error>(&answer)) return *error;
                        auto* laid = std::get_if<ScansLaid>(&answer);
                        if (!laid || revision != w.document.revision())  // what was done since would be lost
                          return Error{"the case changed while the scans were being laid", "", "lay them again"};
                        take_laid(w, *laid);
                        return Done{};
                      });
}

}  // namespace intercusp
