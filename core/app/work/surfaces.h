// The surfaces of the case worked on: how one from a file comes in, what it is, and how scans are laid on bone.
#pragma once

#include "app/work/workspace.h"

namespace intercusp {

/// What is known of a scan that was read: takes it into the case, or has its unit asked for.
void take_scan(Workspace& w, const std::string& file, ScanRead& scan);
/// Answers the question about the unit of a scan that cannot be millimetres.
Status answer_units(Workspace& w, const std::string& unit);
/// Says what a surface is (see surface_roles); what was that takes its place. A step of the history.
Status set_role(Workspace& w, const std::string& body, const std::string& role);

/// Whether there are scans and bone, none of them generated, so that the ones can be laid on the other.
bool can_lay_on_bone(const Workspace& w);
/// Lays the scans on the teeth of the bone (see join_scans_to_bone), an errand; a step of the history where something
/// moves. How they lie is in w.laying.
Status lay_on_bone(Workspace& w);
/// The upper scan and the bone of the case as they are now, with the words on how they lie.
Laying now_laid(const Workspace& w, std::vector<std::string> words);
/// Whether scan and bone are those that w.laying speaks of: neither was opened, named or moved since.
bool lies_on_bone(const Workspace& w);

}  // namespace intercusp
