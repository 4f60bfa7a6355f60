"""Asking the system itself for a drawing context without a screen, without loading VTK.

Constants and calls are those of the EGL registry (Khronos: EGL 1.5, EGL_EXT_device_enumeration,
EGL_EXT_platform_device).
"""

import ctypes
from typing import Any

_PLATFORM_DEVICE = 0x313F
_OPENGL = 0x30A2
_END = 0x3038
_WANTED = (0x3033, 1, 0x3024, 8, 0x3025, 24, 0x3040, 8)  # off screen, 8 bits, 24 of depth, OpenGL
_VERSION = (0x3098, 3, 0x30FB, 2)  # OpenGL 3.2, the least that VTK takes

_POINTER, _INT, _ENUM = ctypes.c_void_p, ctypes.c_int, ctypes.c_uint
_SIGNATURES: dict[str, tuple[Any, tuple[Any, ...]]] = {
    "eglGetProcAddress": (_POINTER, (ctypes.c_char_p,)),
    "eglGetPlatformDisplay": (_POINTER, (_ENUM, _POINTER, _POINTER)),
    "eglInitialize": (_ENUM, (_POINTER, _POINTER, _POINTER)),
    "eglBindAPI": (_ENUM, (_ENUM,)),
    "eglChooseConfig": (_ENUM, (_POINTER, _POINTER, _POINTER, _INT, _POINTER)),
    "eglCreateContext": (_POINTER, (_POINTER, _POINTER, _POINTER, _POINTER)),
    "eglDestroyContext": (_ENUM, (_POINTER, _POINTER)),
}


def egl_draws() -> bool:
    """Return True if the system surely gives a drawing context; False says nothing."""
    try:
        egl: Any = ctypes.CDLL("libEGL.so.1")
        for name, (result, arguments) in _SIGNATURES.items():
            call = getattr(egl, name)
            call.restype, call.argtypes = result, arguments
    except (OSError, AttributeError):
        return False
    return _gives_context(egl)


def _gives_context(egl: Any) -> bool:
    device = _first_device(egl)
    display = egl.eglGetPlatformDisplay(_PLATFORM_DEVICE, device, None) if device else None
    if not display or not egl.eglInitialize(display, None, None) or not egl.eglBindAPI(_OPENGL):
        return False
    config, count = _POINTER(), _INT()
    found = egl.eglChooseConfig(
        display, _list(_WANTED), ctypes.byref(config), 1, ctypes.byref(count)
    )
    if not found or count.value < 1:
        return False
    context = egl.eglCreateContext(display, config, None, _list(_VERSION))
    if context:
        egl.eglDestroyContext(display, context)
    return bool(context)


def _first_device(egl: Any) -> Any:
    """Return the device that VTK takes too; None if there is none."""
    address = egl.eglGetProcAddress(b"eglQueryDevicesEXT")
    if not address:
        return None
    query = ctypes.CFUNCTYPE(_ENUM, _INT, _POINTER, _POINTER)(address)
    device, count = _POINTER(), _INT()
    found = query(1, ctypes.byref(device), ctypes.byref(count))
    return device.value if found and count.value else None


def _list(pairs: tuple[int, ...]) -> Any:
    return (_INT * (len(pairs) + 1))(*pairs, _END)
