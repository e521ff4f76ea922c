// A case on its way to the server and from it.
#include <algorithm>

#include "app/work/command_table.h"
#include "app/work/opening.h"
#include "app/work/review_parts.h"
#include "app/work/surface_notes.h"
#include "base/json_read.h"
#include "casebook/case_json.h"
#include "casebook/recipe_link.h"
#include "review/first_picture.h"

namespace intercusp {

namespace {

/// The case of the shared beginning without its plans and landmarks of later on, as far as a recipe makes it.
Case recipe_alone(const Case& c) {
  Case out;
  out.id = c.id;
  out.recipe = c.recipe;
  return out;
}

void show_shared(Workspace& w, std::vector<Body> bodies) {
  ReviewState& r = *w.review;
  r.sharing.set_bodies(std::move(bodies));
  r.placing = true;
  take_case(w, r.sharing.shared().now());
  r.placing = false;
  if (r.first_picture.turned) {
    w.fit_due = false;
    w.views[w.active_view].camera = r.first_picture.camera;
    w.views[w.active_view].record.clear();
  }
  r.first_picture = {};
  r.phase = ReviewState::Phase::open;
  r.watched = w.document.revision();
  w.stop = w.now().plans.empty() ? Stop::bite : Stop::movement;
  if (!r.may_change) w.document.refuse_changes(kViewingOnly);
  w.host.review({{"ask", "opened"}, {"id", w.now().id}}, {});
}

Status open_recipe(Workspace& w) {
  const std::string fragment = recipe_link(recipe_alone(w.review->sharing.shared().now()), Json::object());
  return w.errands.go(OpenLink{fragment}, "Making the case", [&w](ErrandAnswer& answer) -> Status {
    if (const auto* error = std::get_if<Error>(&answer)) return *error;
    auto* opened = std::get_if<CaseOpened>(&answer);
    if (!opened || !w.review) return Done{};
    for (std::size_t i = 0; i < opened->opened.bodies.size() && i < opened->notes.size(); ++i)
      keep_notes(w, opened->opened.bodies[i].surface, std::move(opened->notes[i]));
    show_shared(w, std::move(opened->opened.bodies));
    return Done{};
  });
}

/// Collects one glTF file for each body and for the coarse form of each large one, then asks the host.
struct Packing {
  std::vector<Body> bodies;
  std::vector<bool> coarse;
  std::vector<std::uint8_t> bytes;
  Json list = Json::array();
};

void ask_to_store(Workspace& w, const std::shared_ptr<Packing>& packing, int days) {
  const ReviewState& r = *w.review;
  w.host.review({{"ask", "share"},
                 {"days", days},
                 {"name", r.name},
                 {"role", r.role},
                 {"keep", r.keep},
                 {"bodies", packing->list}},
                packing->bytes);
}

Status pack_next(Workspace& w, const std::shared_ptr<Packing>& packing, std::size_t index, int days) {
  if (!w.review || index >= packing->bodies.size()) {
    if (w.review) ask_to_store(w, packing, days);
    return Done{};
  }
  Case alone;
  const Body& body = packing->bodies[index];
  alone.id = body.name;
  alone.bodies.push_back(body);
  return w.errands.go(WriteCase{alone}, "Packing the " + body.name,
                      [&w, packing, index, days, name = body.name](ErrandAnswer& answer) -> Status {
                        const auto* written = std::get_if<CaseWritten>(&answer);
                        if (!written) return Error{"the " + name + " could not be packed", "", "close other pages"};
                        packing->list.push_back({{"name", name}, {"size", written->bytes.size()}});
                        if (packing->coarse[index]) packing->list.back()["coarse"] = true;
                        packing->bytes.insert(packing->bytes.end(), written->bytes.begin(), written->bytes.end());
                        return pack_next(w, packing, index + 1, days);
                      });
}

}  // namespace

Status begin_sharing(Workspace& w, int days) {
  const auto packing = std::make_shared<Packing>();
  if (!w.now().recipe.empty()) {  // the bodies follow from the recipe
    ask_to_store(w, packing, days);
    return Done{};
  }
  for (const Body& body : w.now().bodies) {
    if (auto coarse = coarse_body(body)) {
      packing->bodies.push_back(std::move(*coarse));
      packing->coarse.push_back(true);
    }
    packing->bodies.push_back(body);
    packing->coarse.push_back(false);
  }
  return pack_next(w, packing, 0, days);
}

namespace {

/// The stored things in the order in which they are fetched. Where no body has a coarse form all come at once.
Json things_to_fetch(ReviewState& r, const Json& bodies) {
  Json things = Json::array();
  const auto fetch = [&](std::size_t i, const char* form, bool first) {
    Json thing = form ? bodies[i][form] : bodies[i];
    thing["name"] = bodies[i]["name"];
    things.push_back(std::move(thing));
    r.coming.push_back({i, form != nullptr, first});
  };
  r.coming.clear();
  const bool any = std::any_of(bodies.begin(), bodies.end(), [](const Json& b) { return b.contains("coarse"); });
  for (std::size_t i = 0; any && i < bodies.size(); ++i)
    fetch(i, bodies[i].contains("coarse") ? "coarse" : nullptr, true);
  r.wanted_first = r.coming.size();
  for (std::size_t i = 0; i < bodies.size(); ++i)
    if (!any || bodies[i].contains("coarse")) fetch(i, nullptr, false);
  return things;
}

/// A body or its coarse form is here.
void place_body(Workspace& w, const ReviewState::Coming& coming, Body body) {
  ReviewState& r = *w.review;
  if (coming.first) {
    r.coarse[coming.body] = body;
    if (--r.wanted_first == 0) {
      Case coarse = r.sharing.shared().now();
      coarse.bodies = r.coarse;
      r.first_picture = first_picture_of(coarse);
    }
  }
  if (coming.coarse) return;
  r.arriving[coming.body] = std::move(body);
  if (--r.wanted_bodies == 0) show_shared(w, std::move(r.arriving));
}

}  // namespace

Status open_shared(Workspace& w) {
  ReviewState& r = *w.review;
  const SharedCase& shared = r.sharing.shared();
  if (!shared.begun())
    return Error{"the shared case has no beginning that this link's key has signed", "",
                 "ask whoever shared it to share it again"};
  r.phase = ReviewState::Phase::opening;
  if (!shared.now().recipe.empty()) return open_recipe(w);
  const Json bodies = shared.stored_bodies();
  r.wanted_bodies = bodies.size();
  r.arriving.assign(bodies.size(), Body{});
  r.coarse = r.arriving;
  if (bodies.empty())
    show_shared(w, {});
  else
    w.host.review({{"ask", "fetch"}, {"things", things_to_fetch(r, bodies)}}, {});
  return Done{};
}

void take_body(Workspace& w, std::size_t index, std::uint64_t held, std::vector<std::uint8_t> bytes) {
  ReviewState& r = *w.review;
  if (index >= r.coming.size()) return;
  const ReviewState::Coming coming = r.coming[index];
  const std::string name = text_at(r.sharing.shared().stored_bodies()[coming.body], "name").value_or("body");
  const auto use = [&w, coming, name](ErrandAnswer& answer) -> Status {
    if (const auto* error = std::get_if<Error>(&answer)) return *error;
    auto* opened = std::get_if<CaseOpened>(&answer);
    if (!w.review || !opened || opened->opened.bodies.size() != 1 || coming.body >= w.review->arriving.size())
      return Error{"the " + name + " of the shared case is not a body", "", "ask for the case to be shared again"};
    if (!opened->notes.empty()) keep_notes(w, opened->opened.bodies[0].surface, std::move(opened->notes[0]));
    Body body = std::move(opened->opened.bodies[0]);
    body.name = name;
    place_body(w, coming, std::move(body));
    w.wake();
    return Done{};
  };
  const Status asked =
      w.errands.go(ReadFile{name + ".glb", std::move(bytes), held, nullptr, 0}, "Reading the " + name, use);
  if (!asked) w.say_error(asked.error(), "the shared case was not opened");
}

}  // namespace intercusp
