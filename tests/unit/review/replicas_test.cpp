// Three people with copies of one case change it at random while what they write arrives late, twice, in another order
// or is dropped and delivered again: in the end all hold the same bytes, and nothing that anybody did is lost.
#include <doctest/doctest.h>

#include <cstdlib>
#include <deque>

#include "review/bench.h"
#include "review/sharing.h"

using namespace intercusp;

namespace {

/// A small generator of our own: the same everywhere.
struct Dice {
  std::uint64_t state;
  std::uint64_t next() {
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    return state;
  }
  std::size_t below(std::size_t n) { return static_cast<std::size_t>(next() % n); }
  bool chance(int percent) { return below(100) < static_cast<std::size_t>(percent); }
};

struct Replica {
  Replica(char letter, std::string name_) : author(test::key_of(letter)), name(std::move(name_)) {}
  std::string author, name, plan = "A";
  Sharing sharing{test::key_of('C')};
  Document document;
  std::vector<std::string> inbox;  ///< on their way to here
  std::size_t read = 0;            ///< of the log, when it reconnects
};

struct World {
  explicit World(std::uint64_t seed) : dice{seed * 2654435769u + 1} {}
  Dice dice;
  std::vector<Replica> all;
  std::vector<std::string> log;
  std::uint64_t ids = 0;

  Sharing::Stamp stamp(const Replica& r) {
    return [this, &r] {
      ++ids;
      return EntryStamp{test::id_of(ids), r.author, r.name, "surgeon", 1770000000000 + std::int64_t(ids)};
    };
  }
  void send(const Replica& from, const std::vector<std::string>& bodies) {
    for (const std::string& body : bodies) {
      REQUIRE(body.size() > 2);
      log.push_back(body);
      for (Replica& to : all)
        if (&to != &from && !dice.chance(20)) to.inbox.push_back(body);  // the rest is dropped
    }
  }
  void begin() {
    for (const auto& [letter, name] : {std::pair{'a', "R. Falk"}, {'b', "M. Brandt"}, {'c', "T. Weiss"}})
      all.emplace_back(letter, name);
    Replica& r = all[0];
    const nlohmann::json fields = {{"do", "begin"},
                                   {"change", test::key_of('C')},
                                   {"case", case_to_json(test::case_to_share())},
                                   {"bodies", nlohmann::json::array()}};
    const std::string body = r.sharing.write(stamp(r), fields).value();
    for (Replica& to : all) {
      (void)to.sharing.take(nullptr, {body}, to.plan);
      to.document = Document(to.sharing.shared().now());
    }
    log.push_back(body);
  }
};

void deliver(World& w, Replica& r) {
  std::vector<std::string> some;
  for (std::size_t n = w.dice.below(4); n > 0 && !r.inbox.empty(); --n) {
    const std::size_t at = w.dice.below(r.inbox.size());  // in any order
    some.push_back(r.inbox[at]);
    if (!w.dice.chance(10)) r.inbox.erase(r.inbox.begin() + std::ptrdiff_t(at));  // or it comes twice
  }
  CHECK(r.sharing.take(&r.document, some, r.plan).refused.empty());
}

void reconnect(Replica& r, const std::vector<std::string>& log) {
  CHECK(r.sharing.take(&r.document, {log.begin() + std::ptrdiff_t(r.read), log.end()}, r.plan).refused.empty());
  r.read = log.size();
}

void change_case(World& w, Replica& r) {
  Case next = r.document.now();
  const std::size_t what = w.dice.below(10);
  const double mm = double(w.dice.below(2000)) / 100 - 10;
  if (what < 5 && !next.plans.empty()) {
    Plan& plan = next.plans[w.dice.below(next.plans.size())];
    plan = test::moved_plan(plan.name, mm);
  } else if (what < 6) {
    const std::string name(1, char('B' + w.dice.below(8)));
    if (!next.find_plan(name)) next.plans.push_back(test::moved_plan(name, mm));
  } else if (what < 7 && !next.plans.empty()) {
    next.plans.erase(next.plans.begin() + std::ptrdiff_t(w.dice.below(next.plans.size())));
  } else {
    static const char* const names[] = {"11.incisal_edge_mid", "21.incisal_edge_mid", "16.mesiobuccal_cusp"};
    next.landmarks[names[w.dice.below(3)]].at = Vec3(mm, 0, double(what));
    next.landmarks_edited = true;
  }
  r.document.change(std::move(next), "changed");
}

void talk(World& w, Replica& r) {
  const auto& remarks = r.sharing.shared().remarks();
  nlohmann::json fields = {{"do", "remark"}, {"at", {{"measure", "overjet"}}}, {"text", "look at this"}};
  if (!remarks.empty() && w.dice.chance(60)) {
    const std::string to = remarks[w.dice.below(remarks.size())].id;
    fields = w.dice.chance(50) ? nlohmann::json{{"do", "reply"}, {"to", to}, {"text", "I see"}}
                               : nlohmann::json{{"do", "resolve"}, {"to", to}, {"resolved", w.dice.chance(50)}};
  }
  w.send(r, {r.sharing.write(w.stamp(r), fields).value()});
}

void step(World& w) {
  Replica& r = w.all[w.dice.below(3)];
  const std::size_t what = w.dice.below(100);
  if (what < 40) change_case(w, r);
  if (what >= 40 && what < 50) w.dice.chance(70) ? r.document.undo() : r.document.redo();
  if (what >= 50 && what < 60) talk(w, r);
  if (what >= 60) deliver(w, r);
  if (w.dice.chance(3)) reconnect(r, w.log);
  if (!w.dice.chance(30)) {  // else the change waits, as it does while something is dragged or the network is away
    const Sharing::News news = r.sharing.publish(r.document, w.stamp(r), r.plan);
    CHECK(news.refused.empty());
    w.send(r, news.bodies);
  }
}

/// Every value that any entry set a plan to is still there as a version, and every alternative's last one is shown.
void check_nothing_lost(const SharedCase& shared) {
  std::size_t set = 0, kept = 0, tips = 0;
  for (const ReviewEntry& entry : shared.entries()) set += entry.action == "plan" || entry.action == "landmark";
  for (const SharedThing& thing : shared.things()) {
    kept += thing.versions.size();
    if (thing.kind != "plan") continue;
    for (const ThingLine& line : thing.lines) tips += !line.value.is_null();
  }
  CHECK(kept == set);
  CHECK(shared.now().plans.size() == tips);
}

}  // namespace

TEST_CASE("replicas hold the same case, whatever order the entries come in") {
  const char* given = std::getenv("INTERCUSP_EDITS");
  const std::size_t wanted = given ? std::strtoul(given, nullptr, 10) : 150;
  for (std::uint64_t seed = 1; seed <= (given ? 1u : 2u); ++seed) {
    World w(seed);
    w.begin();
    while (w.log.size() < wanted) step(w);
    for (Replica& r : w.all) w.send(r, r.sharing.publish(r.document, w.stamp(r), r.plan).bodies);
    for (Replica& r : w.all) {
      reconnect(r, w.log);
      r.sharing.watch(r.document);
      CHECK_FALSE(r.sharing.has_changes());
      CHECK(case_to_json(r.document.now()) == case_to_json(r.sharing.shared().now()));
      check_nothing_lost(r.sharing.shared());
      CHECK(r.sharing.shared().findings().empty());
    }
    const std::string bytes = w.all[0].sharing.shared().canonical();
    CHECK(w.all[1].sharing.shared().canonical() == bytes);
    CHECK(w.all[2].sharing.shared().canonical() == bytes);
    // Somebody who comes last and gets everything backwards.
    Sharing late(test::key_of('C'));
    std::string plan;
    (void)late.take(nullptr, {w.log.rbegin(), w.log.rend()}, plan);
    CHECK(late.shared().canonical() == bytes);
  }
}

TEST_CASE("an alternative of one's own is worked on under its new name, and undo leaves the other's alone") {
  World w(7);
  w.begin();
  Replica &a = w.all[0], &b = w.all[1];
  Case mine = a.document.now(), theirs = b.document.now();
  *mine.find_plan("A") = test::moved_plan("A", 5);
  *theirs.find_plan("A") = test::moved_plan("A", 7);
  a.document.change(mine, "mine");
  b.document.change(theirs, "theirs");
  const auto first = a.sharing.publish(a.document, w.stamp(a), a.plan);
  const auto second = b.sharing.publish(b.document, w.stamp(b), b.plan);
  CHECK(a.sharing.take(&a.document, second.bodies, a.plan).words.size() == 1);
  (void)b.sharing.take(&b.document, first.bodies, b.plan);
  CHECK(a.plan == "A");
  CHECK(b.plan == "A (2)");
  CHECK(b.document.now().find_plan("A (2)")->entries[0].movement.forward_mm == 7);
  b.document.undo();
  w.log = b.sharing.publish(b.document, w.stamp(b), b.plan).bodies;
  CHECK(b.document.now().find_plan("A")->entries[0].movement.forward_mm != 7);
}

TEST_CASE("what somebody else drags is shown and is no change of one's own") {
  World w(8);
  w.begin();
  Replica& a = w.all[0];
  const Plan dragged = test::moved_plan("A", 9);
  a.sharing.preview(a.document, "A", &dragged);
  CHECK(a.document.now().find_plan("A")->entries[0].movement.forward_mm == 9);
  CHECK(a.sharing.publish(a.document, w.stamp(a), a.plan).bodies.empty());
  a.sharing.preview(a.document, "A", nullptr);
  CHECK(a.document.now().find_plan("A")->entries[0].movement.forward_mm == 2);
}

TEST_CASE("what one did oneself is not lost under what somebody else drags") {
  World w(9);
  w.begin();
  Replica& a = w.all[0];
  Case mine = a.document.now();
  mine.find_plan("A")->entries[0].movement.forward_mm = 4;
  a.document.change(mine, "mine");
  const Plan dragged = test::moved_plan("A", 9);
  a.sharing.preview(a.document, "A", &dragged);
  CHECK(a.document.now().find_plan("A")->entries[0].movement.forward_mm == 4);
  CHECK(a.sharing.publish(a.document, w.stamp(a), a.plan).bodies.size() == 1);
}

TEST_CASE("a document for viewing refuses changes in words") {
  Document d(test::case_to_share());
  d.refuse_changes("This link is for viewing.");
  d.change(Case{}, "nothing");
  CHECK(d.now().id == "shared");
  CHECK(d.take_refusal() == "This link is for viewing.");
  CHECK(d.take_refusal().empty());
  d.refuse_changes("");
  d.change(Case{}, "something");
  CHECK(d.now().id.empty());
}
