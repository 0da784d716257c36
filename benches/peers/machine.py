"""What the figures were measured on."""

import os
import platform


def machine():
    model = platform.processor() or platform.machine()
    try:
        with open("/proc/cpuinfo", encoding="ascii", errors="replace") as info:
            names = [l.split(":", 1)[1].strip() for l in info if l.startswith("model name")]
        model = names[0] if names else model
    except OSError:
        pass
    return f"{model}; {os.cpu_count()} cores; {platform.system()} {platform.release()}"
