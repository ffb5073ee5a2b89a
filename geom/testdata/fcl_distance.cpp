// Distances by the Flexible Collision Library, as a judge for ours: the GJK and EPA
// of libccd, never fcl's own "indep" solver, which is wrong now and then.
//
// Standard input: the tolerance, then one pair a line, each solid as
//   box LX LY LZ        or  capsule RADIUS LENGTH 0  or  cylinder RADIUS LENGTH 0
// or  convex CORNERS FACES 0, the corners, and for each face their number and numbers,
// followed by its rotation, nine numbers row by row, and its centre. Capsules and
// cylinders lie along their own z. Standard output: the signed distance, one a line;
// nan where the library gave up.
#include <fcl/fcl.h>

#include <cmath>
#include <csetjmp>
#include <csignal>
#include <cstdio>
#include <iostream>
#include <memory>
#include <string>
#include <vector>

static std::shared_ptr<fcl::CollisionGeometryd> convex(std::istream& in, int corners, int faces) {
  auto points = std::make_shared<std::vector<fcl::Vector3d>>(corners);
  for (auto& p : *points) in >> p[0] >> p[1] >> p[2];
  auto loops = std::make_shared<std::vector<int>>();
  for (int f = 0; f < faces; f++) {
    int n, k;
    in >> n;
    loops->push_back(n);
    while (n-- > 0 && in >> k) loops->push_back(k);
  }
  return std::make_shared<fcl::Convexd>(points, faces, loops);
}

static std::shared_ptr<fcl::CollisionGeometryd> shape(std::istream& in, const std::string& kind,
                                                      double a, double b, double c) {
  if (kind == "convex") return convex(in, a, b);
  if (kind == "capsule") return std::make_shared<fcl::Capsuled>(a, b);
  if (kind == "cylinder") return std::make_shared<fcl::Cylinderd>(a, b);
  return std::make_shared<fcl::Boxd>(a, b, c);
}

static bool read(std::istream& in, std::unique_ptr<fcl::CollisionObjectd>& object) {
  std::string kind;
  double a, b, c;
  if (!(in >> kind >> a >> b >> c)) return false;
  auto geometry = shape(in, kind, a, b, c);
  fcl::Transform3d pose = fcl::Transform3d::Identity();
  for (int i = 0; i < 9; i++) in >> pose.linear()(i / 3, i % 3);
  for (int i = 0; i < 3; i++) in >> pose.translation()(i);
  object.reset(new fcl::CollisionObjectd(geometry, pose));
  return bool(in);
}

// libccd's checks of itself end in abort(); the pair is given up instead.
static sigjmp_buf given_up;
static void give_up(int) { siglongjmp(given_up, 1); }

int main() {
  std::signal(SIGABRT, give_up);
  fcl::DistanceRequestd request;
  request.enable_signed_distance = true;
  request.enable_nearest_points = true;
  request.gjk_solver_type = fcl::GJKSolverType::GST_LIBCCD;
  std::cin >> request.distance_tolerance;
  std::unique_ptr<fcl::CollisionObjectd> a, b;
  while (read(std::cin, a) && read(std::cin, b)) {
    fcl::DistanceResultd result;
    volatile double distance = std::nan("");
    if (sigsetjmp(given_up, 1) == 0) {
      try {
        distance = fcl::distance(a.get(), b.get(), request, result);
      } catch (const std::exception&) {  // fcl found its own result inconsistent
      }
    }
    std::printf("%.17g\n", double(distance));
  }
}
