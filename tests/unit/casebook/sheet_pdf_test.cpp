#include <doctest/doctest.h>

#include <cstdlib>
#include <string>
#include <vector>

#include "casebook/sheet.h"
#include "casebook/sheet_letters.h"
#include "casebook/small_case.h"

using namespace intercusp;
using namespace intercusp::test;

namespace {

TheatreSheet small_sheet() {
  Case c = small_case();
  PlanEntry forward;
  forward.segment = "upper";
  forward.movement.forward_mm = 1;
  c.plans.push_back({"A", {forward}, "upper"});
  auto sheet = make_sheet(c, "A", {"A. Checker", "2026-02-21"});
  REQUIRE(sheet.ok());
  return std::move(sheet).value();
}

std::string drawn(const TheatreSheet& sheet) {
  const auto pdf = sheet_pdf(sheet);
  REQUIRE(pdf.ok());
  return {pdf.value().begin(), pdf.value().end()};
}

bool holds(const std::string& pdf, const std::string& words) {
  return pdf.find(words) != std::string::npos;
}

/// The height above the page's foot of every line of text.
std::vector<double> heights_of_text(const std::string& pdf) {
  std::vector<double> heights;
  for (std::size_t at = pdf.find(" Td\n"); at != std::string::npos; at = pdf.find(" Td\n", at + 1)) {
    const std::size_t space = pdf.rfind(' ', at - 1);
    heights.push_back(std::atof(pdf.substr(space + 1, at - space - 1).c_str()));
  }
  return heights;
}

}  // namespace

TEST_CASE("names keep letters: what the sheet's type lacks is written in Latin ones or as its number") {
  bool changed = false;
  CHECK(sheet_letters("M\u00fcller", &changed) == "M\xFCller");
  CHECK(sheet_letters("\u0160imek \u2013 \u20ac", &changed) == "\x8Aimek \x96 \x80");
  CHECK_FALSE(changed);
  CHECK(sheet_letters("\u0141ukasz Wi\u015bniewski", &changed) == "Lukasz Wisniewski");
  CHECK(changed);
  CHECK(sheet_letters("Nguy\u1ec5n") == "Nguyen");
  CHECK(sheet_letters("\u0418\u0432\u0430\u043d\u043e\u0432\u0430 \u042f\u0448\u0438\u043d") == "Ivanova Iashin");
  CHECK(sheet_letters("\u03a0\u03ad\u03c4\u03c1\u03bf\u03c2") == "Petros");
  CHECK(sheet_letters("\u5f20") == "[U+5F20]");
  CHECK(sheet_letters("u\u0308") == "u");
  // No letter of the tables falls between their ends.
  CHECK(sheet_letters("\u0100\u017f\u1e00\u1eff\u0400\u045f\u0391\u03c9\u03ce") == "AsAyEdzAoo");
  for (unsigned code = 0x80; code < 0x800; ++code) {
    const std::string utf8{static_cast<char>(0xC0 | code >> 6), static_cast<char>(0x80 | (code & 0x3F))};
    CHECK_MESSAGE(sheet_letters(utf8).find('?') == std::string::npos, code);
  }
  // Bytes that are no UTF-8 end no reading past the text.
  CHECK(sheet_letters("a\xE5") == "a[U+FFFD]");
}

TEST_CASE("a name that the sheet's type lacks is no question mark on it, and the sheet says so") {
  TheatreSheet sheet = small_sheet();
  CHECK_FALSE(holds(drawn(sheet), "Letters that this page cannot show"));
  sheet.checked_by = "\u0141. Wi\u015bniewska";
  const std::string pdf = drawn(sheet);
  CHECK(holds(pdf, "(Checked by: L. Wisniewska) Tj"));
  CHECK(holds(pdf, "Letters that this page cannot show"));
}

TEST_CASE("what does not fit the sheet goes on to a next page, and nothing is drawn below a page's foot") {
  TheatreSheet sheet = small_sheet();
  CHECK(holds(drawn(sheet), "/Count 1\n"));
  for (int i = 0; i < 150; ++i) {
    sheet.warnings.push_back("Warning number " + std::to_string(i) + " of many.");
    sheet.agreed.push_back("Agreement number " + std::to_string(i) + " of many.");
  }
  for (int i = 0; i < 90; ++i)
    sheet.tables.front().rows.push_back({"row number " + std::to_string(i), "1.0 forward", "0.0", "0.0"});
  const std::string pdf = drawn(sheet);
  CHECK_FALSE(holds(pdf, "/Count 1\n"));
  CHECK(holds(pdf, "(page 1 of "));
  CHECK(holds(pdf, "Movement sheet, continued    Case small"));
  CHECK(holds(pdf, ", continued) Tj"));  // the head of the table again
  for (int i = 0; i < 150; ++i) {
    CHECK(holds(pdf, "(Warning number " + std::to_string(i) + " of many.) Tj"));
    CHECK(holds(pdf, "(Agreement number " + std::to_string(i) + " of many.) Tj"));
  }
  for (int i = 0; i < 90; ++i) CHECK(holds(pdf, "(row number " + std::to_string(i) + ") Tj"));
  const auto heights = heights_of_text(pdf);
  REQUIRE(heights.size() > 400);
  for (const double height : heights) CHECK(height > 15);
}

TEST_CASE("the sheet has room for the patient's label, and its pictures say which side is which") {
  const std::string pdf = drawn(small_sheet());
  for (const char* words : {"(Patient label) Tj", "(Date) Tj", "(Side confirmed) Tj", "(R) Tj", "(L) Tj", "(lip) Tj",
                            "(palate) Tj", "(Class III) Tj", "(Class II) Tj"})
    CHECK_MESSAGE(holds(pdf, words), words);
}

TEST_CASE("a long name of a plan is broken, not cut") {
  TheatreSheet sheet = small_sheet();
  sheet.plan = "Two jaws after the meeting on Thursday, variant B with less turn, " + std::string(120, 'x') + "end";
  const std::string pdf = drawn(sheet);
  CHECK(holds(pdf, "variant B with"));
  CHECK(holds(pdf, "xend) Tj"));
  CHECK_FALSE(holds(pdf, "...) Tj"));
  // One without end leaves the page its room.
  sheet.plan = std::string(5000, 'x');
  const std::string endless = drawn(sheet);
  CHECK(holds(endless, "...) Tj"));
  for (const double height : heights_of_text(endless)) CHECK(height > 15);
}
