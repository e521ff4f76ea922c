#include "anatomy/tooth_proposal.h"

#include <algorithm>
#include <cmath>

#include "anatomy/contact_on_scan.h"
#include "anatomy/landmarks.h"
#include "anatomy/mark_on_scan.h"

namespace intercusp {

namespace {

constexpr double kOffTooth = 1.5;  ///< mm from every crown: the click is on no tooth

/// The two crowns nearest to the click, and how far they are, mm.
struct ClickedCrown {
  std::size_t crown = 0;
  double away_mm = 1e9, next_mm = 1e9;
};

ClickedCrown crown_under(const ArchTemplate& arch, const ArchFit& fit, const Vec3& click) {
  ClickedCrown clicked;
  for (std::size_t i = 0; i < arch.crowns.size(); ++i) {
    const CrownOnScan& place = fit.crowns[i].place;
    const double away = place.scale.mean() * crown_value(arch.crowns[i].placed.form, place.local(click));
    if (away < clicked.away_mm) {
      clicked.next_mm = clicked.away_mm;
      clicked.away_mm = away;
      clicked.crown = i;
    } else {
      clicked.next_mm = std::min(clicked.next_mm, away);
    }
  }
  return clicked;
}

/// 0 at `from`, 1 at `to`, straight between.
double between(double value, double from, double to) {
  return std::clamp((value - from) / (to - from), 0.0, 1.0);
}

/// Sure when the click is clearly on this crown and not on a neighbour, and this crown, its neighbours and the whole
/// arch lie well: a number is as good as the row that it is counted in.
double sure_of_number(const ArchFit& fit, const ClickedCrown& clicked) {
  const FittedCrown& crown = fit.crowns[clicked.crown];
  const double apart = 0.5 + 0.5 * between(clicked.next_mm - clicked.away_mm, 0.0, 0.4);
  const double on_it = 1 - between(clicked.away_mm, 0.5, kOffTooth);
  double row = between(fit.covered, 0.6, 0.92);
  for (const int step : {-1, 1}) {
    const std::size_t beside = clicked.crown + static_cast<std::size_t>(step);
    if (beside < fit.crowns.size()) row *= 0.5 + 0.5 * between(fit.crowns[beside].covered, 0.4, 0.75);
  }
  return apart * on_it * row * between(crown.covered, 0.3, 0.75) * (1 - 0.6 * between(crown.rms_mm, 0.12, 0.25));
}

/// Chance that an error spread evenly over the surface with `sigma` in each direction stays within `within`.
double chance_within(double sigma, double within) {
  return 1 - std::exp(-within * within / (2 * sigma * sigma));
}

}  // namespace

ToothProposal propose_tooth(const Surface& scan, const ArchFit& fit, const Vec3& click) {
  const ArchTemplate& arch = arch_template(fit.upper);
  const ClickedCrown clicked = crown_under(arch, fit, click);
  ToothProposal proposal;
  if (clicked.away_mm > kOffTooth) return proposal;
  const TemplateCrown& crown = arch.crowns[clicked.crown];
  const FittedCrown& fitted = fit.crowns[clicked.crown];
  proposal.tooth = crown.iso();
  proposal.confidence = sure_of_number(fit, clicked);
  const double whole = between(fitted.covered, 0.3, 0.75);
  const std::string prefix = std::to_string(crown.iso()) + ".";
  const auto add = [&](const std::string& feature, const MarkOnScan& m) {
    proposal.landmarks.push_back({prefix + feature, m.at, whole * chance_within(m.sigma_mm, kLandmarkWithin)});
  };
  for (const CrownMark& mark : crown.marks) add(mark.feature, find_mark(scan, fitted.place, mark, fitted.rms_mm));
  const ContactsOnScan contacts = find_contacts(scan, fit, clicked.crown);
  add("contact_mesial", contacts.mesial);
  add("contact_distal", contacts.distal);
  return proposal;
}

}  // namespace intercusp
