#include "surgery/stability.h"

#include <cmath>
#include <cstdio>

namespace intercusp {
namespace {

constexpr double kWorthSaying = 1;  ///< mm or degrees
// Proffit, Turvey and Phillips 1996 (Int J Adult Orthodon Orthognath Surg 11:191-204) and 2007 (Head Face Med 3:21).
constexpr char kSeen[] = "hierarchy of stability, Proffit, Turvey and Phillips 1996 and 2007 (Head Face Med 3:21)";
constexpr char kRecalled[] = "hierarchy of stability, Proffit, Turvey and Phillips 1996 and 2007 (rank from memory)";
constexpr char kUsualSource[] = " (textbooks; common practice, no single source)";

std::string of_mm(double mm) {
  char text[32];
  std::snprintf(text, sizeof text, "%.1f mm", std::abs(mm));
  return text;
}

class StabilityTable {
 public:
  explicit StabilityTable(const PlanExtent& e) : e_(e) {}

  std::vector<StabilityNote> run() {
    upper();
    lower();
    chin();
    if (std::abs(e_.turned_deg) >= kWorthSaying || e_.sideways_mm >= kWorthSaying) {
      add("correction of asymmetry", "stable", "reported as stable with rigid fixation", kSeen, 0, 0);
    }
    together();
    return std::move(notes_);
  }

 private:
  void add(const std::string& move, const char* rank, const std::string& words, const char* source, double size,
           double usual) {
    StabilityNote note{move, rank, words, source, usual > 0 && std::abs(size) > usual, ""};
    if (usual > 0) note.usual = "usual up to " + of_mm(usual) + kUsualSource;
    notes_.push_back(std::move(note));
  }

  void upper() {
    const double up = e_.maxilla_up_mm, forward = e_.maxilla_forward_mm;
    if (up >= kWorthSaying) {
      add("upper jaw " + of_mm(up) + " up", "very stable", "reported as the most stable move", kRecalled, up, 10);
    }
    if (up <= -kWorthSaying) {
      add("upper jaw " + of_mm(up) + " down", "problematic",
          "reported as problematic: a downward move tends to come back up", kRecalled, up, 5);
    }
    if (forward >= kWorthSaying) {
      add("upper jaw " + of_mm(forward) + " forward", "stable", "reported as stable", kRecalled, forward, 10);
    }
    if (forward <= -kWorthSaying) {
      add("upper jaw " + of_mm(forward) + " back", "not ranked",
          "the hierarchy does not rank a move of the whole upper jaw back", kRecalled, forward, 5);
    }
    if (e_.maxilla_wider_mm >= kWorthSaying) {
      add("upper jaw " + of_mm(e_.maxilla_wider_mm) + " wider", "problematic", "reported as the least stable move",
          kRecalled, e_.maxilla_wider_mm, 8);
    }
  }

  void lower() {
    const double forward = e_.mandible_forward_mm;
    if (forward >= kWorthSaying) {
      add("lower jaw " + of_mm(forward) + " forward", "very stable",
          "reported as very stable in a short or average face under 10 mm; relapse at B with screws 1.5 to 33 % in the "
          "short and 2 to "
          "50 % in the long term (Joss and Vassalli 2009, from memory)",
          kRecalled, forward, 12);
    }
    if (forward <= -kWorthSaying) {
      add("lower jaw " + of_mm(forward) + " back", "problematic",
          "reported as problematic alone; relapse at B 10 to 62 % in the short and 15 to 28 % in the long term (Joss "
          "and Vassalli "
          "2008, from memory)",
          kRecalled, forward, 12);
    }
  }

  void chin() {
    const double size = std::hypot(e_.chin_forward_mm, e_.chin_up_mm);
    if (size >= kWorthSaying)
      add("chin moved by " + of_mm(size), "very stable", "reported as very stable with rigid fixation", kSeen, size,
          10);
  }

  void together() {
    constexpr char kBoth[] = "stable only with rigid fixation";
    if (e_.maxilla_up_mm >= kWorthSaying && e_.mandible_forward_mm >= kWorthSaying) {
      add("upper jaw up with lower jaw forward", kBoth, "reported as stable with rigid fixation only", kRecalled, 0, 0);
    }
    if (e_.maxilla_forward_mm >= kWorthSaying && e_.mandible_forward_mm <= -kWorthSaying) {
      add("upper jaw forward with lower jaw back", kBoth, "reported as stable with rigid fixation only", kRecalled, 0,
          0);
    }
  }

  const PlanExtent& e_;
  std::vector<StabilityNote> notes_;
};

}  // namespace

std::vector<StabilityNote> stability_notes(const PlanExtent& extent) {
  return StabilityTable(extent).run();
}

}  // namespace intercusp
