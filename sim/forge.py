"""Makes the library of machine code; run by ``sim.library`` in a process of its own: ``main`` compiles into the folder named on the command line.

numba types and lowers every law that a door needs. It would also optimise each one together with all it calls, again and again up to the doors; here
the lowered functions are kept as they are, put into one module and optimised once, which takes three quarters of the time. Every door gets an entry
that takes its arguments from words in memory (see ``sim.doors``). What is left undefined may only come from the C library.

The code is for the machine's general kind, not for this very processor: the same numbers on every machine of the kind, and no loss measured.
"""

from __future__ import annotations

import gc
import importlib
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import llvmlite.binding as llvm
import numpy as np
from llvmlite import ir
from numba import types
from numba.core import codegen
from numba.core.registry import cpu_target
from numba.np import arrayobj

from sim import bundle_type
from sim.cache import laws, put
from sim.compiled import FORGING
from sim.doors import DOORS, Axes, Bundle, Door, Kind, Number
from sim.library import OBJECT, SHARED

LINKERS = ("cc", "gcc", "clang")
C_LIBRARY = frozenset(["acos", "asin", "asinh", "atan", "atan2", "cos", "cosh", "exp", "exp2", "expm1", "fabs", "floor", "fmod", "hypot", "log", "log10", "log1p", "memcpy", "memmove", "memset", "pow", "sin", "sinh", "sqrt", "tan", "tanh"])  # fmt: skip
SCALARS = {float: types.float64, int: types.int64, bool: types.boolean, complex: types.complex128}
WORD = ir.IntType(64)
OPTIMISE = 3
SHARES = (0, 150, 200, 240, 270, 300, 330, 366), (0.0, 0.19, 0.25, 0.35, 0.44, 0.56, 0.67, 0.755)
"""So many functions are lowered, entries included, in that share of the whole time; a check measures anew."""
LOWERED, MOST = 0.755, 0.99
TELL_S = 0.3

Share = Callable[[float], None]


class Lowered(codegen.CPUCodeLibrary):  # type: ignore[misc]
    """A compiled law, neither optimised nor turned into machine code."""

    def add_llvm_module(self, ll_module: Any) -> None:
        """Keep it as it is."""
        self._final_module.link_in(ll_module)

    def finalize(self) -> None:
        """Hand it to the forge."""
        self._finalized = True
        self._codegen.keep(self._final_module)

    def _finalize_specific(self) -> None:
        """Nothing."""

    def get_pointer_to_function(self, name: str) -> int:
        """There is no machine code yet."""
        self._ensure_finalized()
        return 0


class Gathering(codegen.JITCPUCodegen):  # type: ignore[misc]
    """Gathers lowered laws instead of running them."""

    _library_class = Lowered

    def __init__(self, progress: Share) -> None:
        self.lowered: list[Any] = []
        self._progress = progress
        super().__init__("laws")

    def keep(self, module: Any) -> None:
        """One more law is lowered."""
        self.lowered.append(module)
        self._progress(min(float(np.interp(len(self.lowered), *SHARES)), LOWERED))

    def set_env(self, env_name: str, env: object) -> None:
        """There is nothing in memory to set."""


def main() -> None:
    """Compile all laws into the folder ``sys.argv[1]``, telling the share done line by line."""
    gc.disable()  # a fifth of the time, for objects that nearly all stay
    forge(Path(sys.argv[1]), lambda share: print(f"{share:.4f}", flush=True))


def forge(folder: Path, progress: Share) -> None:
    """Compile every door and all it needs into a library in ``folder``. Raises OSError."""
    for path in laws():
        importlib.import_module("sim." + ".".join(path.relative_to(Path(__file__).parent).with_suffix("").parts))  # fmt: skip
    begin = time.monotonic()
    module = lower(list(DOORS.values()), progress)
    with _told_meanwhile(progress, time.monotonic() - begin):
        code = machine().emit_object(optimised(module))
    put(folder / OBJECT, lambda path: path.write_bytes(code))
    link(folder)
    progress(1.0)


@contextmanager
def _told_meanwhile(progress: Share, lowering_s: float) -> Iterator[None]:
    """Tell what optimising, which tells nothing, has probably come to: it takes a known share of what lowering took."""
    over, begin = threading.Event(), time.monotonic()

    def tell() -> None:
        while not over.wait(TELL_S):
            done = (time.monotonic() - begin) / lowering_s * LOWERED / (1.0 - LOWERED)
            progress(LOWERED + (MOST - LOWERED) * min(done, 1.0))

    teller = threading.Thread(target=tell)
    teller.start()
    try:
        yield
    finally:
        over.set()
        teller.join()


def lower(doors: list[Door], progress: Share) -> Any:
    """One LLVM module with all doors and what they need, not optimised."""
    FORGING.append(True)
    gathering = Gathering(progress)
    context = cpu_target.target_context
    context._internal_codegen = gathering
    context.refresh()
    for door in doors:
        signature = tuple(map(type_of, door.signature.arguments))
        door.dispatcher.compile(signature)
        _add_entry(context, door, door.dispatcher.overloads[signature])
    whole = llvm.parse_assembly(str(gathering._create_empty_module("laws")))
    for one in gathering.lowered:
        whole.link_in(one)
    return whole


def type_of(kind: Kind) -> Any:
    """numba's type of a kind of argument."""
    return SCALARS[kind.type] if isinstance(kind, Number) else bundle_type.type_of(kind)


def _add_entry(context: Any, door: Door, compiled: Any) -> None:
    """The function that takes its arguments from memory: ``int entry(void *words)``."""
    library = context.codegen().create_library(door.symbol)
    module = library.create_ir_module(door.symbol)
    entry = ir.Function(module, ir.FunctionType(ir.IntType(32), [WORD.as_pointer()]), door.symbol)
    builder = ir.IRBuilder(entry.append_basic_block())
    memory = _Memory(context, builder, entry.args[0])
    taken = compiled.signature.args
    arguments = [memory.argument(kind, of) for kind, of in zip(door.signature.arguments, taken, strict=True)]  # fmt: skip
    law = context.declare_function(module, compiled.fndesc)
    back = compiled.signature.return_type
    status, result = context.call_conv.call_function(builder, law, back, taken, arguments)
    memory.give(result, back, door.signature.several)
    builder.ret(builder.zext(status.is_error, ir.IntType(32)))
    library.add_ir_module(module)
    library.finalize()


class _Memory:
    """Reads arguments word by word and writes results behind them, in the order of ``sim.doors``."""

    def __init__(self, context: Any, builder: Any, words: Any) -> None:
        self.context, self.builder, self.words, self.at = context, builder, words, 0

    def argument(self, kind: Kind, of: Any) -> Any:
        """The next argument, as numba hands it on."""
        if isinstance(kind, Bundle):
            return self.builder.inttoptr(self._word(), WORD.as_pointer())
        return self._array(of) if isinstance(kind, Axes) else self._number(of)

    def give(self, result: Any, of: Any, several: bool) -> None:
        """Write what came back."""
        if several:
            for k, one in enumerate(of):
                self.put(self.builder.extract_value(result, k), one)
        elif of != types.none:
            self.put(result, of)

    def _array(self, of: Any) -> Any:
        builder = self.builder
        array = self.context.make_array(of)(self.context, builder)
        nothing = [builder.inttoptr(self._word(), ir.IntType(8).as_pointer()) for _ in range(2)]
        items, item_bytes = self._word(), self._word()
        data = builder.inttoptr(self._word(), array.data.type)
        shape, strides = ([self._word() for _ in range(of.ndim)] for _ in range(2))
        arrayobj.populate_array(array, data, shape, strides, item_bytes, nothing[0], nothing[1])
        array.nitems = items
        return array._getvalue()

    def _number(self, of: Any) -> Any:
        if of == types.complex128:
            parts = self.context.make_complex(self.builder, of)
            parts.real, parts.imag = self._double(), self._double()
            return parts._getvalue()
        if of == types.float64:
            return self._double()
        word = self._word()
        return self.builder.trunc(word, ir.IntType(1)) if of == types.boolean else word

    def put(self, value: Any, of: Any) -> None:
        builder = self.builder
        if of == types.complex128:
            parts = self.context.make_complex(builder, of, value=value)
            self.put(parts.real, types.float64)
            self.put(parts.imag, types.float64)
        elif of == types.float64:
            builder.store(value, builder.bitcast(self._next(), ir.DoubleType().as_pointer()))
        else:
            builder.store(builder.zext(value, WORD) if of == types.boolean else value, self._next())

    def _next(self) -> Any:
        self.at += 1
        return self.builder.gep(self.words, [ir.Constant(WORD, self.at - 1)])

    def _word(self) -> Any:
        return self.builder.load(self._next())

    def _double(self) -> Any:
        return self.builder.load(self.builder.bitcast(self._next(), ir.DoubleType().as_pointer()))


def optimised(module: Any) -> Any:
    """Optimise a module whose doors are all that is seen from outside. Raises RuntimeError when it needs more than the C library."""
    for one in [*module.functions, *module.global_variables]:
        if not one.is_declaration and one.name not in DOORS:
            one.linkage = "internal"
    tuning = llvm.create_pipeline_tuning_options(speed_level=OPTIMISE)
    builder = llvm.create_pass_builder(machine(), tuning)
    builder.getModulePassManager().run(module, builder)
    wanted = {one.name for one in module.functions if one.is_declaration and not one.name.startswith("llvm.")}  # fmt: skip
    if strange := sorted(wanted - C_LIBRARY):
        raise RuntimeError(f"the laws need what no library has: {', '.join(strange)}")
    return module


def machine() -> Any:
    """The general processor of this machine's kind, code that may lie anywhere."""
    target = llvm.Target.from_triple(llvm.get_process_triple())
    return target.create_target_machine(opt=OPTIMISE, reloc="pic", codemodel="default")


def link(folder: Path) -> None:
    """Make a shared library of the object, where there is a linker; where there is none, llvmlite loads the object."""
    linker = next(filter(None, map(shutil.which, LINKERS)), None)
    if linker is None or sys.platform == "win32":
        return

    def run(path: Path) -> None:
        subprocess.run([linker, "-shared", "-o", str(path), str(folder / OBJECT), "-lm"], check=True, capture_output=True)  # fmt: skip

    with suppress(subprocess.CalledProcessError):
        put(folder / SHARED, run)
