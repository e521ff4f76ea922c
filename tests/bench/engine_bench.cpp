// The distance engine against the best general libraries on the same bodies and poses, in one run. What is timed is
// processor time of all threads, so that other programs on the machine count little; where two threads are meant it is
// the wall clock. Prints medians, ratios, the targets, and for each task the exponent of growth with the number of
// triangles. tests/bench/run.sh runs all of it.
//   engine_bench --write DIR TRIANGLES...            the bodies and poses for the rivals that are other programs
//   engine_bench [--rivals DIR/rivals.txt] [--only WORD] TRIANGLES...
#include <algorithm>
#include <cstring>
#include <fstream>
#include <map>
#include <sstream>

#include "base/parallel.h"
#include "embree_mesh.h"
#include "fcl_mesh.h"
#include "formats/mesh_reader.h"
#include "formats/mesh_writer.h"
#include "geometry/close_pairs.h"
#include "geometry/crossings.h"
#include "geometry/overlap.h"
#include "geometry/pair_query.h"
#include "geometry/registration.h"
#include "geometry/weld.h"
#include "open3d_icp.h"
#include "scenes.h"

using namespace intercusp;
using namespace intercusp::bench;

namespace {

constexpr double kBand = 3.0, kPatch = 0.1;
constexpr int kRuns = 9;

std::string g_only;
std::map<std::string, double> g_rivals;  ///< "task body" of other programs, ms
std::map<std::string, std::vector<std::pair<double, double>>> g_growth;

bool wanted(const char* word) {
  return g_only.empty() || g_only == word;
}

/// One line: `target` is the ratio asked for, 0 where none is.
void row(const Scene& s, double triangles, const std::string& task, double ours, const char* whose, double theirs,
         double target) {
  std::printf("%-10s %8.0f  %-42s %9.3f ms", s.name.c_str(), triangles, task.c_str(), ours);
  if (theirs > 0) std::printf("  %-9s %9.3f ms  ratio %6.2f", whose, theirs, theirs / ours);
  if (theirs > 0 && target > 0) std::printf("  target %4.1f  %s", target, theirs / ours >= target ? "met" : "missed");
  std::printf("\n");
  std::fflush(stdout);
  g_growth[s.name + " " + task].push_back({std::log(triangles), std::log(ours)});
}

void print_growth() {
  for (const auto& [task, points] : g_growth) {
    if (points.size() < 2) continue;
    double x = 0, y = 0, xx = 0, xy = 0;
    const auto n = static_cast<double>(points.size());
    for (const auto& p : points) {
      x += p.first / n;
      y += p.second / n;
    }
    for (const auto& p : points) {
      xx += (p.first - x) * (p.first - x);
      xy += (p.first - x) * (p.second - y);
    }
    std::printf("growth exponent %5.2f  %s\n", xy / xx, task.c_str());
  }
}

/// Median over the poses of the drag.
double over_drag(const Scene& s, const std::function<void(const Pose&)>& work, double (*clock)() = processor_ms) {
  std::vector<double> times;
  for (const Pose& pose : s.drag) {
    const double begin = clock();
    work(pose);
    times.push_back(clock() - begin);
  }
  return median(times);
}

/// What the frame is held against: the best of the others for each of its parts.
struct Best {
  double map = 0, patches = 0, pairs = 0, distance = 0, volume = 0;
  double sum() const { return map + patches + pairs + distance + volume; }
};

void map_row(const Scene& s, double n, const EmbreeMesh& a, const EmbreeMesh& b, const char* threads, double (*clock)(),
             Best* best) {
  PosedPair pair = make_posed_pair(*s.first, s.first_pose, *s.second, s.drag[0]);
  std::vector<double> out;
  std::size_t theirs = 0, ours = 0;
  const auto embree = [&](double band) {
    return timed(
        kRuns,
        [&] {
          theirs = embree_map(b, s.first->mesh(), pair.other_from_own[0], band, out);
          theirs += embree_map(a, s.second->mesh(), pair.other_from_own[1], band, out);
        },
        clock);
  };
  if (best) best->patches = embree(kPatch);
  const double whole = embree(kBand);
  if (best) best->map = whole;
  const auto both = [&](std::array<VertexGaps, 2>& gaps) {
    for (std::size_t body = 0; body < 2; ++body) find_vertex_gaps(pair, body, kBand, gaps[body]);
  };
  std::array<VertexGaps, 2> kept;
  const double cold = timed(
      kRuns,
      [&] {
        std::array<VertexGaps, 2> fresh;
        both(fresh);
        kept = std::move(fresh);
      },
      clock);
  for (const VertexGaps& g : kept) {
    ours += static_cast<std::size_t>(
        std::count_if(g.gap_mm.begin(), g.gap_mm.end(), [](double d) { return !std::isnan(d); }));
  }
  const auto coherent = over_drag(
      s,
      [&](const Pose& pose) {
        move_posed_pair(pair, s.first_pose, pose);
        both(kept);
      },
      clock);
  std::printf("# vertices within the band: %zu, by Embree %zu\n", ours, theirs);
  row(s, n, std::string("map within 3 mm, cold, ") + threads, cold, "Embree", whole, 1.5);
  row(s, n, std::string("map within 3 mm, coherent, ") + threads, coherent, "Embree", whole, 6);
}

void structure_rows(const Scene& s, double n) {
  const auto ours = [&] { Bvh again(s.first->mesh()); };
  row(s, n, "structure, one body, one thread", timed(kRuns, ours), "Embree",
      timed(kRuns, [&] { EmbreeMesh again(s.first->mesh(), 1); }), 0);
  use_one_thread(false);
  const double two = timed(kRuns, ours, wall_ms);
  use_one_thread(true);
  row(s, n, "structure, one body, two threads", two, "Embree",
      timed(
          kRuns, [&] { EmbreeMesh again(s.first->mesh(), 2); }, wall_ms),
      1.5);
}

void map_rows(const Scene& s, double n, Best& best) {
  const EmbreeMesh a(s.first->mesh(), 1), b(s.second->mesh(), 1);
  map_row(s, n, a, b, "one thread", processor_ms, &best);
  use_one_thread(false);
  map_row(s, n, a, b, "two threads", wall_ms, nullptr);
  use_one_thread(true);
}

void pair_row(const Scene& s, double n, const FclMesh& a, const FclMesh& b, Best& best) {
  std::size_t ours_found = 0, theirs_found = 0;
  best.pairs = over_drag(s, [&](const Pose& pose) { theirs_found = fcl_pairs(a, s.first_pose, b, pose); });
  PosedPair pair = make_posed_pair(*s.first, s.first_pose, *s.second, s.drag[0]);
  const double ours = over_drag(s, [&](const Pose& pose) {
    move_posed_pair(pair, s.first_pose, pose);
    ours_found = 0;
    CloseBlocks close(pair);
    close.visit(0, [&](const BlockPair& blocks) {
      close.triangles(blocks, 0, [&](std::uint32_t i, std::uint32_t j) {
        ours_found += triangles_intersect(pair.corners(0, s.first->bvh().order()[i]),
                                          pair.corners(1, s.second->bvh().order()[j]));
      });
    });
  });
  std::printf("# intersecting pairs at the last pose: %zu, by FCL %zu\n", ours_found, theirs_found);
  row(s, n, "intersecting pairs, cold and coherent alike", ours, "FCL", best.pairs, 4);
}

void distance_rows(const Scene& s, double n, const FclMesh& a, const FclMesh& b, Best& best) {
  const Pose away(Eigen::Translation3d(0, 0, s.apart));
  double theirs_mm = 0, ours_mm = 0;
  const double theirs =
      over_drag(s, [&](const Pose& pose) { theirs_mm = fcl_distance(a, s.first_pose, b, Pose(away * pose)); });
  best.distance = over_drag(s, [&](const Pose& pose) { fcl_distance(a, s.first_pose, b, pose); });
  PosedPair pair = make_posed_pair(*s.first, s.first_pose, *s.second, s.drag[0]);
  NearestTriangles kept;
  const auto nearest = [&](const Pose& pose, NearestTriangles* known) {
    move_posed_pair(pair, s.first_pose, away * pose);
    ours_mm = nearest_points(pair, any_points(pair), known).distance_mm;
  };
  const double cold = over_drag(s, [&](const Pose& pose) { nearest(pose, nullptr); });
  const double coherent = over_drag(s, [&](const Pose& pose) { nearest(pose, &kept); });
  std::printf("# minimum distance at the last pose: %.9f, by FCL %.9f\n", ours_mm, theirs_mm);
  row(s, n, "minimum distance, cold", cold, "FCL", theirs, 1.5);
  row(s, n, "minimum distance, coherent", coherent, "FCL", theirs, 5);
}

void volume_row(const Scene& s, double n, Best& best) {
  PosedPair pair = make_posed_pair(*s.first, s.first_pose, *s.second, s.drag[0]);
  std::optional<double> volume;
  const double ours = over_drag(s, [&](const Pose& pose) {
    move_posed_pair(pair, s.first_pose, pose);
    volume = overlap_volume(pair);
  });
  const auto theirs = g_rivals.find("volume " + s.name + std::to_string(static_cast<int>(n)));
  best.volume = theirs == g_rivals.end() ? 0 : theirs->second;
  std::printf("# overlap volume at the last pose: %.9f mm3\n", volume.value_or(-1));
  row(s, n, "overlap volume, cold and coherent alike", ours, "manifold", best.volume, 20);
}

void patch_rows(const Scene& s, double n, const Best& best) {
  ContactSettings settings;
  settings.band_mm = settings.contact_mm = kPatch;
  ContactResult result;
  PairQuery query(*s.first, *s.second);
  const double cold =
      timed(kRuns, [&] { result = find_contact(*s.first, s.first_pose, *s.second, s.drag[0], settings); });
  const double coherent = over_drag(s, [&](const Pose& pose) { result = query.at(s.first_pose, pose, settings); });
  std::printf("# contact patches at the last pose: %zu\n", result.contacts.size());
  row(s, n, "contact patches below 0.1 mm, cold", cold, "Embree", best.patches, 1);
  row(s, n, "contact patches below 0.1 mm, coherent", coherent, "Embree", best.patches, 3);
}

void frame_rows(const Scene& s, double n, const Best& best) {
  PairQuery query(*s.first, *s.second);
  ContactResult result;
  const double sum = g_only.empty() ? best.sum() : 0;
  row(s, n, "whole frame, cold, one thread",
      timed(kRuns, [&] { result = find_contact(*s.first, s.first_pose, *s.second, s.drag[0], {}); }), "sum", sum, 0);
  const auto frame = [&](const Pose& pose) { result = query.at(s.first_pose, pose, {}); };
  frame(s.drag[0]);
  row(s, n, "whole frame, coherent, one thread", over_drag(s, frame), "sum", sum, 6);
  use_one_thread(false);
  row(s, n, "whole frame, coherent, two threads", over_drag(s, frame, wall_ms), "", 0, 0);
  use_one_thread(true);
}

void hinge_row(const Scene& s, double n, const FclMesh& a, const FclMesh& b) {
  Sweep sweep;
  sweep.kind = Sweep::Kind::turn;
  sweep.direction = -Vec3::UnitX();  // closes the jaw
  sweep.through = s.second->box().center() + Vec3(0, 60, 30);
  sweep.limit = 30;
  const Pose open = Pose(Eigen::Translation3d(0, 0, -1)) * sweep.after(-6) * s.drag[0];
  std::optional<FirstContact> contact;
  const double ours =
      timed(kRuns, [&] { contact = first_contact(*s.first, s.first_pose, *s.second, open, sweep).value(); });
  if (!contact) {
    std::printf("# no first contact\n");
    return;
  }
  double found = 0;
  const double step = degrees(1e-3 / 120);  // no point lies 120 mm from the axis
  const double theirs =
      timed(kRuns, [&] { found = fcl_first_contact(a, s.first_pose, b, open, sweep, contact->travel + 1, step); });
  std::printf("# first contact at %.6f degrees, gap %.6f mm; by FCL %.6f\n", contact->travel, contact->gap_mm, found);
  row(s, n, "first contact on a hinge", ours, "FCL", theirs, 3);
}

/// A surface of `n` vertices onto one that is divided otherwise, from 1 mm and 1 degree away.
void registration_row() {
  const std::uint32_t n = 200000;
  Scene s = divided_twice(n);
  const Pose off = Pose(Eigen::Translation3d(0.4, 0.3, -0.3)) * Pose(Eigen::AngleAxisd(0.01, Vec3::UnitX()));
  RegistrationSettings settings;
  settings.settled_mm = 1e-4;
  Registration found;
  const double ours = timed(kRuns, [&] { found = register_surfaces(*s.first, *s.second, off, settings).value(); });
  std::vector<Vec3> from, to, normals;
  for (const Vec3f& p : s.first->mesh().positions) from.push_back(p.cast<double>());
  for (const Vec3f& p : s.second->mesh().positions) to.push_back(p.cast<double>());
  for (const Vec3f& v : s.second->normals()) normals.push_back(v.cast<double>());
  CloudIcp cloud;
  std::vector<double> theirs;
  for (int i = 0; i < kRuns; ++i) {
    cloud = open3d_icp(from, to, normals, off.matrix(), settings.reach_mm, settings.most_rounds);
    theirs.push_back(cloud.ms);
  }
  const auto error_um = [&](const Eigen::Matrix4d& motion) {
    double worst = 0;
    for (const Vec3& p : from) worst = std::max(worst, ((motion * p.homogeneous()).head<3>() - p).norm());
    return 1e3 * worst;
  };
  std::printf("# registration: %d rounds, rms %.3g mm, off by %.3f um at most; Open3D off by %.3f um\n", found.rounds,
              found.rms_mm, error_um(found.motion.matrix()), error_um(cloud.motion));
  row(s, n, "registration of 200,000 points", ours, "Open3D", median(theirs), 3);
}

void stl_row(const Scene& s, double n) {
  const std::vector<std::uint8_t> bytes = write_stl(s.first->mesh());
  std::size_t points = 0;
  const double ours =
      timed(kRuns, [&] { points = read_mesh(bytes.data(), bytes.size(), "bench").value().mesh.positions.size(); });
  const auto theirs = g_rivals.find("stl " + s.name + std::to_string(static_cast<int>(n)));
  std::printf("# welded points: %zu\n", points);
  row(s, n, "STL to a welded mesh", ours, "VTK", theirs == g_rivals.end() ? 0 : theirs->second, 4);
}

double resident_mb() {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);) {
    if (line.rfind("VmRSS:", 0) == 0) return std::atof(line.c_str() + 6) / 1024;
  }
  return 0;
}

void memory_row(const Scene& s, double n) {
  const double before = resident_mb();
  const SurfacePtr a = Surface::make(s.first->mesh()), b = Surface::make(s.second->mesh());
  PairQuery query(*a, *b);
  const ContactResult result = query.at(s.first_pose, s.drag[0], {});
  std::printf("%-10s %8.0f  memory of two bodies, the query kept and its answer: %.0f MB (target at 500,000: 300)\n",
              s.name.c_str(), n, resident_mb() - before);
}

void run(const Scene& s, double n) {
  Best best;
  if (wanted("memory")) memory_row(s, n);
  if (wanted("map") || wanted("patches")) map_rows(s, n, best);
  if (wanted("structure")) structure_rows(s, n);
  if (wanted("stl")) stl_row(s, n);
  const auto a = fcl_mesh(s.first->mesh()), b = fcl_mesh(s.second->mesh());
  if (wanted("pairs")) pair_row(s, n, *a, *b, best);
  if (wanted("distance")) distance_rows(s, n, *a, *b, best);
  if (wanted("volume")) volume_row(s, n, best);
  if (wanted("patches")) patch_rows(s, n, best);
  if (wanted("frame")) frame_rows(s, n, best);
  if (wanted("hinge") && !s.lies_on) hinge_row(s, n, *a, *b);
}

void write_bodies(const Scene& s, int n, const std::string& folder) {
  const std::string name = folder + "/" + s.name + std::to_string(n);
  std::ofstream out(name + ".bodies", std::ios::binary);
  for (const SurfacePtr& body : {s.first, s.second}) {
    const Mesh& mesh = body->mesh();
    const std::uint32_t sizes[2] = {static_cast<std::uint32_t>(mesh.positions.size()),
                                    static_cast<std::uint32_t>(mesh.triangles.size())};
    out.write(reinterpret_cast<const char*>(sizes), sizeof sizes);
    out.write(reinterpret_cast<const char*>(mesh.positions.data()), 12 * static_cast<std::streamsize>(sizes[0]));
    out.write(reinterpret_cast<const char*>(mesh.triangles.data()), 12 * static_cast<std::streamsize>(sizes[1]));
  }
  for (const Pose& pose : s.drag) out.write(reinterpret_cast<const char*>(pose.matrix().data()), 128);
  const std::vector<std::uint8_t> stl = write_stl(s.first->mesh());
  std::ofstream(name + ".stl", std::ios::binary)
      .write(reinterpret_cast<const char*>(stl.data()), static_cast<std::streamsize>(stl.size()));
}

void read_rivals(const char* path) {
  std::ifstream in(path);
  for (std::string line; std::getline(in, line);) {
    std::istringstream words(line);
    std::string task, body;
    double ms = 0;
    if (words >> task >> body >> ms) g_rivals[task + " " + body] = ms;
  }
}

}  // namespace

int main(int argc, char** argv) {
  use_one_thread(true);
  std::string folder;
  std::vector<std::uint32_t> sizes;
  for (int i = 1; i < argc; ++i) {
    if (std::strcmp(argv[i], "--write") == 0 && i + 1 < argc) {
      folder = argv[++i];
    } else if (std::strcmp(argv[i], "--rivals") == 0 && i + 1 < argc) {
      read_rivals(argv[++i]);
    } else if (std::strcmp(argv[i], "--only") == 0 && i + 1 < argc) {
      g_only = argv[++i];
    } else {
      sizes.push_back(static_cast<std::uint32_t>(std::atoi(argv[i])));
    }
  }
  for (const std::uint32_t n : sizes) {
    for (const Scene& s : {arches(n), bones(n), sawn(n, 0), sawn(n, 0.3)}) {
      if (folder.empty()) {
        run(s, n);
      } else {
        write_bodies(s, static_cast<int>(n), folder);
      }
    }
  }
  if (folder.empty() && wanted("registration")) registration_row();
  print_growth();
}
