#include "review/shared_case.h"

#include <doctest/doctest.h>

#include "base/base64.h"
#include "review/agreed.h"
#include "review/bench.h"

using namespace intercusp;
using test::Writer;

namespace {

/// Two people who both hold the case as it was shared.
struct Pair {
  Writer a{'a', "R. Falk"}, b{'b', "M. Brandt"};
  std::string first;
  Pair() {
    first = a.begin(1, test::case_to_share());
    give(b, first);
  }
  static void give(Writer& to, const std::string& body) { REQUIRE(to.shared.take(body).ok()); }
};

Case with_plan(const Case& c, const std::string& name, double forward_mm) {
  Case next = c;
  if (Plan* plan = next.find_plan(name))
    *plan = test::moved_plan(name, forward_mm);
  else
    next.plans.push_back(test::moved_plan(name, forward_mm));
  return next;
}

double forward_of(const SharedCase& shared, const std::string& plan) {
  const Plan* found = shared.now().find_plan(plan);
  return found && !found->entries.empty() ? found->entries[0].movement.forward_mm : -999;
}

bool says(const std::vector<ReviewFinding>& findings, const std::string& words) {
  for (const ReviewFinding& f : findings)
    if (f.words.find(words) != std::string::npos) return true;
  return false;
}

}  // namespace

TEST_CASE("changes in turn follow one another on one line") {
  Pair p;
  Pair::give(p.b, p.a.change(2, with_plan(p.a.shared.now(), "A", 3)));
  Pair::give(p.a, p.b.change(3, with_plan(p.b.shared.now(), "A", 4)));
  CHECK(forward_of(p.a.shared, "A") == 4);
  const SharedThing* plan = p.a.shared.find_thing("plan", "A");
  REQUIRE(plan);
  CHECK(plan->lines.size() == 1);
  CHECK(plan->versions.size() == 2);
  CHECK(plan->versions[1].name == "M. Brandt");
  CHECK(p.a.shared.canonical() == p.b.shared.canonical());
  CHECK(p.a.shared.findings().empty());
}

TEST_CASE("two who change the same version get an alternative, and both go on") {
  Pair p;
  const std::string one = p.a.change(2, with_plan(p.a.shared.now(), "A", 3));
  const std::string two = p.b.change(3, with_plan(p.b.shared.now(), "A", 5));
  Pair::give(p.a, two);
  Pair::give(p.b, one);
  CHECK(p.a.shared.canonical() == p.b.shared.canonical());
  CHECK(forward_of(p.a.shared, "A") == 3);
  CHECK(forward_of(p.a.shared, "A (2)") == 5);
  CHECK(p.a.shared.shown_plan("A (2)").second == 1);

  Pair::give(p.a, p.b.change(4, with_plan(p.b.shared.now(), "A (2)", 6)));
  CHECK(forward_of(p.a.shared, "A (2)") == 6);
  CHECK(p.a.shared.find_thing("plan", "A")->lines.size() == 2);
}

TEST_CASE("a plan taken away by one and changed by the other stays") {
  Pair p;
  Case without = p.a.shared.now();
  without.plans.clear();
  const std::string gone = p.a.change(2, without), changed = p.b.change(3, with_plan(p.b.shared.now(), "A", 5));
  Pair::give(p.a, changed);
  Pair::give(p.b, gone);
  CHECK(p.a.shared.canonical() == p.b.shared.canonical());
  CHECK(p.a.shared.now().plans.size() == 1);
  CHECK(p.a.shared.now().plans[0].entries[0].movement.forward_mm == 5);
}

TEST_CASE("an alternative's name keeps clear of a plan that somebody named so") {
  Pair p;
  const std::string other = p.a.change(2, with_plan(p.a.shared.now(), "A (2)", 1));
  const std::string one = p.a.change(3, with_plan(p.a.shared.now(), "A", 3));
  const std::string two = p.b.change(4, with_plan(p.b.shared.now(), "A", 5));
  for (const std::string& body : {two, one, other}) (void)p.a.shared.take(body).ok();
  CHECK(p.a.shared.now().plans.size() == 3);
  CHECK(p.a.shared.now().find_plan("A (3)"));
}

TEST_CASE("landmarks: the first counts, the other is an alternative until somebody who knew of both decides") {
  Pair p;
  Case one = p.a.shared.now(), two = one;
  one.landmarks["11.incisal_edge_mid"].at = Vec3(1, 0, 0);
  two.landmarks["11.incisal_edge_mid"].at = Vec3(2, 0, 0);
  const std::string first = p.a.change(2, one), second = p.b.change(3, two);
  Pair::give(p.a, second);
  Pair::give(p.b, first);
  CHECK(p.a.shared.canonical() == p.b.shared.canonical());
  CHECK(p.a.shared.now().landmarks.at("11.incisal_edge_mid").at.x() == 1);
  CHECK(p.a.shared.now().landmarks_edited);
  const SharedThing* thing = p.a.shared.find_thing("landmark", "11.incisal_edge_mid");
  REQUIRE(thing->lines.size() == 2);
  CHECK_FALSE(thing->settled(thing->lines[1]));
  Case decided = p.a.shared.now();
  decided.landmarks["11.incisal_edge_mid"].at = Vec3(1.5, 0, 0);
  p.a.change(4, decided);
  thing = p.a.shared.find_thing("landmark", "11.incisal_edge_mid");
  CHECK(thing->settled(thing->lines[1]));
}

TEST_CASE("landmarks: where one comes from and how sure it is reaches the other") {
  Pair p;
  Case one = p.a.shared.now();
  one.landmarks["11.incisal_edge_mid"] = {Vec3(1, 0, 0), false, Landmark::Origin::proposed, 0.4};
  Pair::give(p.b, p.a.change(2, one));
  CHECK(p.b.shared.now().landmarks.at("11.incisal_edge_mid") == one.landmarks.at("11.incisal_edge_mid"));
}

TEST_CASE("gaps, repeats, a wrong change key and an exchanged entry are findings in words") {
  Pair p;
  const std::string two = p.a.change(2, with_plan(p.a.shared.now(), "A", 3));
  const std::string three = p.a.change(3, with_plan(p.a.shared.now(), "A", 4));
  Pair::give(p.b, three);
  CHECK(says(p.b.shared.findings(), "1 entry of R. Falk before number 3 have not arrived"));
  Pair::give(p.b, two);
  CHECK(p.b.shared.findings().empty());

  Writer copy('a', "R. Falk");  // the same key in a second place
  Pair::give(copy, p.first);
  const std::string again = copy.change(9, with_plan(copy.shared.now(), "B", 1));
  Pair::give(p.b, again);
  CHECK(says(p.b.shared.findings(), "the same key was used in two places"));
  CHECK(forward_of(p.b.shared, "B") == 1);

  Writer stranger('x', "Somebody else");
  Pair::give(stranger, p.first);
  const std::string foreign = stranger.write(
      10, {{"do", "plan"}, {"plan", "A"}, {"on", ""}, {"entries", nullptr}, {"change", test::key_of('X')}});
  Pair::give(p.b, foreign);
  CHECK(says(p.b.shared.findings(), "another change key"));
  CHECK(forward_of(p.b.shared, "A") == 4);

  auto exchanged = nlohmann::json::parse(two);
  exchanged["before"] = std::string(64, '0');
  Writer c('c', "T. Weiss");
  for (const std::string& body : {p.first, canonical_text(exchanged)}) Pair::give(c, body);
  CHECK(says(c.shared.findings(), "does not follow"));
}

TEST_CASE("what somebody has seen and is not here is a finding") {
  Pair p;
  const std::string kept_back = p.a.change(2, with_plan(p.a.shared.now(), "B", 3));
  Pair::give(p.b, kept_back);
  const std::string after = p.b.change(3, with_plan(p.b.shared.now(), "C", 1));
  Writer c('c', "T. Weiss");
  for (const std::string& body : {p.first, after}) Pair::give(c, body);
  CHECK(says(c.shared.findings(), "M. Brandt had seen 1 entry of R. Falk that have not arrived"));
}

TEST_CASE("remarks with replies, resolved and open again") {
  Pair p;
  const std::string remark = p.a.write(2, {{"do", "remark"},
                                           {"at", {{"body", "upper_arch"}, {"point", {1, 2, 3}}}},
                                           {"text", "Is this the cusp?"},
                                           {"picture", base64url("\xff\xd8\xff and so on")}});
  Pair::give(p.b, remark);
  Pair::give(p.a, p.b.write(3, {{"do", "reply"}, {"to", test::id_of(2)}, {"text", "Yes."}}));
  Pair::give(p.a, p.b.write(4, {{"do", "resolve"}, {"to", test::id_of(2)}, {"resolved", true}}));
  REQUIRE(p.a.shared.remarks().size() == 1);
  const Remark& r = p.a.shared.remarks()[0];
  CHECK(r.body == "upper_arch");
  CHECK(r.point == Vec3(1, 2, 3));
  REQUIRE(r.picture);
  CHECK(std::string(r.picture->begin(), r.picture->end()) == "\xff\xd8\xff and so on");
  CHECK(r.replies.at(0).text == "Yes.");
  CHECK(r.resolved);
  CHECK(r.resolved_by == "M. Brandt");
  CHECK(p.a.shared.canonical() == p.b.shared.canonical());
}

TEST_CASE("undo takes back own changes alone") {
  Pair p;
  const Case shared = p.a.shared.now();
  Case mine = with_plan(shared, "A", 3);
  const Case theirs = with_plan(shared, "B", 7);
  const Case now = CaseDelta(shared, theirs).into(mine);
  CHECK(now.find_plan("A")->entries[0].movement.forward_mm == 3);
  CHECK(now.find_plan("B")->entries[0].movement.forward_mm == 7);
  const Case before = CaseDelta(shared, theirs).into_step(shared);  // the step that undo goes back to
  CHECK(before.find_plan("A")->entries[0].movement.forward_mm == 2);
  CHECK(before.find_plan("B"));
  const Case gone = CaseDelta(with_plan(shared, "B", 7), shared).into(with_plan(shared, "B", 7));
  CHECK_FALSE(gone.find_plan("B"));
}

TEST_CASE("agreed: current, then outdated with what changed since, then taken back") {
  Pair p;
  const auto agree = [&](Writer& w, std::uint64_t id, const char* part, bool withdrawn) {
    const auto [thing, line] = w.shared.shown_plan("A");
    const std::string digest = plan_digest(w.shared.now(), *w.shared.now().find_plan("A"));
    return w.write(id, {{"do", "agree"},
                        {"part", part},
                        {"plan", "A"},
                        {"on", thing->lines[line].tip},
                        {"digest", digest},
                        {"withdrawn", withdrawn}});
  };
  CHECK(agreement_lines(p.a.shared, "A")[0] == "occlusion: not agreed");
  Pair::give(p.b, agree(p.a, 2, "movement", false));
  auto all = agreements_on(p.b.shared, "A");
  REQUIRE(all.size() == 1);
  CHECK(all[0].current);
  CHECK(agreement_lines(p.b.shared, "A")[1].find("movement: agreed by R. Falk, surgeon") == 0);

  Pair::give(p.a, p.b.change(3, with_plan(p.b.shared.now(), "A", 4.5)));
  all = agreements_on(p.a.shared, "A");
  REQUIRE(all.size() == 1);
  CHECK_FALSE(all[0].current);
  CHECK(all[0].changes.at(0) == "Upper jaw: was 2.0 mm forward, is 4.5 mm forward.");
  Case landmark = p.b.shared.now();
  landmark.landmarks["11.incisal_edge_mid"].at.x() += 1;
  Pair::give(p.a, p.b.change(4, landmark));
  CHECK(agreements_on(p.a.shared, "A")[0].changes.at(1) == "Landmark 11.incisal_edge_mid was changed by M. Brandt.");

  Pair::give(p.b, agree(p.a, 5, "movement", true));
  CHECK(agreements_on(p.b.shared, "A").empty());
}

// SHA-256 of 32 zero bytes: 66687aadf862bd776c8fc18b8e9f8e20089714856ee233b3902a591d0d5f2925 (widely published).
TEST_CASE("a key's fingerprint") {
  CHECK(key_fingerprint(base64url(std::string(32, '\0'))) == "6668 7aad f862 bd77 6c8f");
  CHECK(key_fingerprint("short").empty());
  CHECK(moment_words(1772460300000) == "2026-03-02 14:05");
}
