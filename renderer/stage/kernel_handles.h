// Embree's objects with an owner: released on every way out, also when building the Stage throws.
// Not here: what is put into them (stage.cpp, lamp_geometry.cpp).
#pragma once

#include <embree3/rtcore.h>

#include <memory>
#include <type_traits>

namespace keyfall {

struct ReleaseKernelObject {
    void operator()(RTCDevice device) const { rtcReleaseDevice(device); }
    void operator()(RTCScene scene) const { rtcReleaseScene(scene); }
    void operator()(RTCGeometry geometry) const { rtcReleaseGeometry(geometry); }
};

using DeviceHandle = std::unique_ptr<std::remove_pointer_t<RTCDevice>, ReleaseKernelObject>;
using SceneHandle = std::unique_ptr<std::remove_pointer_t<RTCScene>, ReleaseKernelObject>;
using GeometryHandle = std::unique_ptr<std::remove_pointer_t<RTCGeometry>, ReleaseKernelObject>;

}  // namespace keyfall
