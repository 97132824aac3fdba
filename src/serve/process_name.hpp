#pragma once
/// A name for a running process that no other process ever has, and whether the process of a name has ended.

#include <sys/types.h>

#include <string>
#include <string_view>

namespace steelyard::serve {

/// "BOOT PID START": this boot of the machine, the number, and the moment of its start in ticks since the boot.
/// source  proc(5): /proc/sys/kernel/random/boot_id and field 22 of /proc/PID/stat
[[nodiscard]] std::string process_name(pid_t pid);

/// True only if that is certain: the name is of this boot, and no such process is there any more. A process on another
/// machine or in another container is never taken for ended by a boot that is not this one.
[[nodiscard]] bool has_ended(std::string_view name);

}  // namespace steelyard::serve
