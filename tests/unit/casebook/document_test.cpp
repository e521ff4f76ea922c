#include "casebook/document.h"

#include <doctest/doctest.h>

#include "casebook/small_case.h"

using namespace intercusp;

namespace {
Case with_id(const char* id) {
  Case c;
  c.id = id;
  return c;
}
}  // namespace

TEST_CASE("undo and redo walk the history") {
  Document d(with_id("a"));
  d.change(with_id("b"), "to b");
  d.change(with_id("c"), "to c");
  CHECK(d.history() == std::vector<std::string>{"to b", "to c"});
  d.undo();
  CHECK(d.now().id == "b");
  d.undo();
  CHECK(d.now().id == "a");
  CHECK_FALSE(d.can_undo());
  d.redo();
  d.redo();
  CHECK(d.now().id == "c");
  CHECK_FALSE(d.can_redo());
}

TEST_CASE("a drag is one step, and a new drag another") {
  Document d(with_id("a"));
  d.change(with_id("b"), "drag 1", "drag");
  d.change(with_id("c"), "drag 2", "drag");
  d.seal();
  d.change(with_id("d"), "drag 3", "drag");
  CHECK(d.history() == std::vector<std::string>{"drag 2", "drag 3"});
  d.undo();
  CHECK(d.now().id == "c");
  d.undo();
  CHECK(d.now().id == "a");
}

TEST_CASE("a change after undo drops what was undone, and every step has a new revision") {
  Document d(with_id("a"));
  const auto start = d.revision();
  d.change(with_id("b"), "to b");
  d.undo();
  d.change(with_id("c"), "to c");
  CHECK_FALSE(d.can_redo());
  CHECK(d.revision() == start + 3);
}
