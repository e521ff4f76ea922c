#include "casebook/splint_mend.h"

#include <doctest/doctest.h>

using namespace intercusp;

namespace {

ThinPlace thin_place(double mm, ThinSide side, bool over_upper) {
  ThinPlace place;
  place.thickness_mm = mm;
  place.side = side;
  place.over_upper = over_upper;
  return place;
}

}  // namespace

TEST_CASE("splint mend: each kind of thin place changes what lies behind it, and nothing else") {
  CaseSplint made;
  made.opened_mm = 1.5;
  SplintOrder order = made.order;
  CHECK(mend_order(made, order).empty());
  made.splint.thin = {thin_place(0.4, ThinSide::wall, true), thin_place(0.8, ThinSide::wall, false)};
  CHECK(mend_order(made, order).size() == 1);
  CHECK(order.settings.rim_width_mm == doctest::Approx(3.7));  // 0.6 lacking, and a tenth
  CHECK(order.settings.upper_depth_mm == 2.5);
  CHECK(order.opening_mm == 0);

  order = SplintOrder();
  made.splint.thin = {thin_place(0.5, ThinSide::cover, true)};  // under the tips of the upper teeth
  CHECK(mend_order(made, order).size() == 1);
  CHECK(order.settings.lower_depth_mm == doctest::Approx(3.1));
  CHECK(order.settings.rim_width_mm == 3.0);

  order = SplintOrder();
  made.splint.thin = {thin_place(0.7, ThinSide::between, true)};
  const auto changes = mend_order(made, order);
  REQUIRE(changes.size() == 1);
  CHECK(order.opening_mm == doctest::Approx(1.9));
  CHECK(order.open_for_thickness);
  CHECK(changes_words(changes) == "opening at the incisors from 1.5 to 1.9 mm");

  order = SplintOrder();
  order.settings.rim_width_mm = 8;  // the widest that can be made
  made.splint.thin = {thin_place(0.4, ThinSide::wall, true)};
  CHECK(mend_order(made, order).empty());
}

TEST_CASE("splint mend: changes made twice are said once, from where they began") {
  std::vector<SplintChange> all = {{"rim_width_mm", "rim width (mm)", 1.5, 2.0}};
  add_changes({{"rim_width_mm", "rim width (mm)", 2.0, 2.4}, {"opening_mm", "opening (mm)", 0, 1}}, all);
  CHECK(changes_words(all) == "rim width from 1.5 to 2.4 mm, opening from 0.0 to 1.0 mm");
}
