// What speaks for and against a place in which the arches seat.
#pragma once

#include "occlusion/settle.h"

namespace intercusp {

/// The bite of arches that stand where `there` says, into the reading and its parts of the cost. O(landmarks).
void read_bite(const MeasureInput& there, const SettleSettings& settings, SettleSolution& s);

/// Adds contacts and overlap between a part of the upper arch and the lower one; once all are added `sum_contacts`.
void add_contacts(const ContactResult& contact, const OcclusalFrame& frame, SettleSolution& s);
void sum_contacts(SettleSolution& s);

/// The contact settings that count what nearly touches.
ContactSettings near_contacts(const SettleSettings& settings);

/// Orders the solutions by their cost, once the seat of each is told against the best. False where none seats.
bool rank(std::vector<SettleSolution>& solutions);

/// What the seat of a place costs where `best` is the greatest share that seats in any.
double seat_cost(double seated_share, double best);

/// How far a value lies beyond limits, 0 within them.
double beyond_limits(double value, const std::array<double, 2>& limits);

/// The surfaces that seat are this near to their shared gap.
constexpr double kSeatedWithinMm = 0.1;

}  // namespace intercusp
