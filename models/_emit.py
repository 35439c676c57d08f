"""A kernel as object code that needs neither Python nor numba to run: only llvmlite, to load it.

The code numba makes of a function stands behind one entry, `int32 NAME(int64 *words)`, in which 0
is success. The words are the arguments one behind the other, tuples laid open: a number as its
bits, an array as the address of its Python object. Behind them it puts what it gives: a number as
its bits; of an array the address to free(), that of its numbers, and its shape.
"""

from collections.abc import Callable, Iterator
from itertools import count
from struct import unpack_from
from typing import Any

import llvmlite.binding as llvm
import numpy as np
from llvmlite import ir
from numba import njit
from numba import types as numba_types
from numba.core import cgutils, compiler
from numba.core.compiler_lock import global_compiler_lock
from numba.core.registry import cpu_target
from numba.np.arrayobj import populate_array
from numba.np.numpy_support import from_dtype

from models._jit import OUTSIDE

types: Any = numba_types  # half of them have types of their own
WORD, BYTE = ir.IntType(64), ir.IntType(8)
HEAD = object.__basicsize__  # of a Python object; behind it the C struct of an array begins:
DATA, SHAPE, STRIDES = HEAD, HEAD + 16, HEAD + 24  # PyArrayObject_fields of numpy's C API
SYMBOLS, SYMBOL_BYTES, NOWHERE = 2, 24, 0  # of ELF: SHT_SYMTAB, of one, SHN_UNDEF
# what numba calls for its arrays: one block, a header of five words and the numbers behind it
MEMORY = """
declare ptr @malloc(i64)
declare void @free(ptr)
define linkonce_odr ptr @NRT_MemInfo_alloc_aligned(i64 %size, i32 %align) {
  %wide = zext i32 %align to i64
  %room = add i64 %size, 64
  %whole = add i64 %room, %wide
  %block = call ptr @malloc(i64 %whole)
  %none = icmp eq ptr %block, null
  br i1 %none, label %full, label %made
full:
  ret ptr null
made:
  %at = ptrtoint ptr %block to i64
  %behind = add i64 %at, 64
  %up = add i64 %behind, %wide
  %last = sub i64 %up, 1
  %mask = sub i64 0, %wide
  %even = and i64 %last, %mask
  %data = inttoptr i64 %even to ptr
  store i64 1, ptr %block
  %d = getelementptr i64, ptr %block, i64 3
  store ptr %data, ptr %d
  %s = getelementptr i64, ptr %block, i64 4
  store i64 %size, ptr %s
  ret ptr %block
}
define linkonce_odr void @NRT_MemInfo_call_dtor(ptr %block) {
  call void @free(ptr %block)
  ret void
}
"""


def type_of(argument: Any) -> Any:
    """The type an argument is compiled for: every array as if it might be written to."""
    if isinstance(argument, np.ndarray):
        layout = "C" if argument.flags.c_contiguous else "A"
        aligned = bool(argument.flags.aligned)
        return types.Array(from_dtype(argument.dtype), argument.ndim, layout, aligned=aligned)
    if isinstance(argument, tuple):
        return types.BaseTuple.from_types([type_of(one) for one in argument], type(argument))
    if isinstance(argument, bool | np.bool_):
        return types.boolean
    return types.int64 if isinstance(argument, int | np.integer) else types.float64


def object_code(
    function: Callable[..., Any], arguments: tuple[Any, ...], options: dict[str, Any], name: str
) -> tuple[bytes, list[tuple[str, int]], list[str]]:
    """The object code of `function` for such arguments, its entry called `name`; by value that it
    gives, its code and how many axes an array has; what it asks of the C library.

    Raises NotImplementedError where it would need numba to run.
    """
    typing, target = cpu_target.typing_context, cpu_target.target_context
    flags: Any = compiler.Flags()
    njit(**options)(function)  # registers the target and its options
    cpu_target.options.parse_as_flags(flags, {"nopython": True, **options})
    flags.no_compile = True
    with global_compiler_lock:
        typing.refresh()
        target.refresh()
        library = target.codegen().create_library(name)
        made = compiler.compile_extra(
            typing, target, function, tuple(map(type_of, arguments)), None, flags, {}, library
        )
        library.add_ir_module(_entry(target, library, made.fndesc, name))
        module = library._final_module
        for other in dict.fromkeys(library._linking_libraries):
            module.link_in(other._get_module_for_linking(), preserve=True)
        module.link_in(llvm.parse_assembly(MEMORY))
        library._optimize_final_module()
        module = library._final_module
        _leave_only(module, name, target.codegen())
        code: bytes = target.codegen()._tm.emit_object(module)
    asks = undefined(code)
    if own := asks.difference(OUTSIDE):
        raise NotImplementedError(f"asks for {', '.join(sorted(own))}")
    return code, [*_given(made.fndesc.restype)], sorted(asks)


def _entry(target: Any, library: Any, described: Any, name: str) -> ir.Module:
    module = library.create_ir_module(f"{name}.entry")
    entry = ir.Function(module, ir.FunctionType(ir.IntType(32), [WORD.as_pointer()]), name)
    builder = ir.IRBuilder(entry.append_basic_block())
    at = count()

    def next_word() -> Any:
        return builder.gep(entry.args[0], [WORD(next(at))])

    arguments = [_taken(target, builder, next_word, one) for one in described.argtypes]
    callee = ir.Function(
        module,
        target.call_conv.get_function_type(described.restype, described.argtypes),
        described.llvm_func_name,
    )
    status, given = target.call_conv.call_function(
        builder, callee, described.restype, described.argtypes, arguments
    )
    with builder.if_then(status.is_ok):
        _put(target, builder, next_word, described.restype, given)
    builder.ret(builder.zext(status.is_error, ir.IntType(32)))
    return module


def _taken(target: Any, builder: ir.IRBuilder, word: Callable[[], Any], kind: Any) -> Any:
    """An argument out of its words, as numba holds it."""
    if isinstance(kind, types.BaseTuple):
        parts = [_taken(target, builder, word, one) for one in kind]
        return target.make_tuple(builder, kind, parts)
    if isinstance(kind, types.Array):
        there = builder.inttoptr(builder.load(word()), BYTE.as_pointer())

        def field(offset: int, of: ir.Type) -> Any:
            place = builder.bitcast(builder.gep(there, [WORD(offset)]), of.as_pointer())
            return builder.load(place)

        def axes(offset: int) -> list[Any]:
            first = field(offset, WORD.as_pointer())
            return [builder.load(builder.gep(first, [WORD(k)])) for k in range(kind.ndim)]

        array = target.make_array(kind)(target, builder)
        size = target.get_abi_sizeof(target.get_data_type(kind.dtype))
        data = field(DATA, target.get_data_type(kind.dtype).as_pointer())
        populate_array(array, data, axes(SHAPE), axes(STRIDES), WORD(size), None)
        return array._getvalue()
    bits = builder.load(word())
    if kind == types.float64:
        return builder.bitcast(bits, ir.DoubleType())
    return builder.trunc(bits, ir.IntType(1)) if kind == types.boolean else bits


def _put(
    target: Any, builder: ir.IRBuilder, word: Callable[[], Any], kind: Any, value: Any
) -> None:
    """What is given into its words."""
    if isinstance(kind, types.BaseTuple):
        for k, one in enumerate(kind):
            _put(target, builder, word, one, builder.extract_value(value, k))
    elif isinstance(kind, types.Array):
        array = target.make_array(kind)(target, builder, value)
        builder.store(builder.ptrtoint(array.meminfo, WORD), word())
        builder.store(builder.ptrtoint(array.data, WORD), word())
        for one in cgutils.unpack_tuple(builder, array.shape):
            builder.store(one, word())
    elif kind == types.float64:
        builder.store(builder.bitcast(value, WORD), word())
    elif kind != types.none:
        wide = value if value.type == WORD else builder.zext(value, WORD)
        builder.store(wide, word())


def _given(kind: Any) -> Iterator[tuple[str, int]]:
    """By value that is given, its code and for an array how many axes."""
    if isinstance(kind, types.BaseTuple):
        for one in kind:
            yield from _given(one)
    elif isinstance(kind, types.Array) and kind.layout == "C":
        yield np.dtype(str(kind.dtype)).str, kind.ndim
    elif kind in (types.float64, types.int64, types.boolean):
        yield {types.float64: "d", types.int64: "q", types.boolean: "?"}[kind], 0
    elif kind != types.none:
        raise NotImplementedError(f"{kind} is given")


def _leave_only(module: Any, name: str, codegen: Any) -> None:
    """One entry, and nothing that it does not need."""
    for one in (*module.functions, *module.global_variables):
        if not one.is_declaration and one.name != name:
            one.linkage = "internal"
    _, builder = codegen._module_pass_manager()
    clean = llvm.create_new_module_pass_manager()
    clean.add_global_dead_code_eliminate_pass()
    clean.run(module, builder)


def undefined(code: bytes) -> set[str]:
    """The names that object code looks for outside.

    Raises NotImplementedError where it is no ELF file of 64 bits, least byte first.
    Source: System V Application Binary Interface, chapter 4 (ELF64: from memory).
    """
    if code[:6] != b"\x7fELF\x02\x01":
        raise NotImplementedError("no ELF of this kind")
    (headers,), (size, count) = unpack_from("<Q", code, 40), unpack_from("<HH", code, 58)
    found = set()
    for k in range(count):
        _, kind, _, _, at, length, link = unpack_from("<IIQQQQI", code, headers + k * size)
        if kind == SYMBOLS:
            (names,) = unpack_from("<Q", code, headers + link * size + 24)
            for place in range(at + SYMBOL_BYTES, at + length, SYMBOL_BYTES):
                name, _, _, section = unpack_from("<IBBH", code, place)
                if section == NOWHERE:
                    begin = names + name
                    found.add(code[begin : code.index(b"\0", begin)].decode())
    return found - {""}
