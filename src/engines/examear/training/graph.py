"""Runs a network kept as ONNX in PyTorch, on any device, its weights as floats: what was rounded for processors is
multiplied out, and nothing is rounded on the way.

Holds the operators that the voices of `neural.py` need. One item at a time.
"""

from typing import Any

import numpy as np
import onnx
import torch
import torch.nn.functional as F
from onnx import numpy_helper

ALONE = {"Cos": torch.cos, "Exp": torch.exp, "Floor": torch.floor, "Round": torch.round, "Sigmoid": torch.sigmoid, "Sin": torch.sin,
         "Sqrt": torch.sqrt, "Tanh": torch.tanh}  # fmt: skip
PAIRS = {"Add": torch.add, "And": torch.logical_and, "Equal": torch.eq, "Greater": torch.gt, "GreaterOrEqual": torch.ge, "Less": torch.lt,
         "MatMul": torch.matmul, "Mul": torch.mul, "Sub": torch.sub}  # fmt: skip
DTYPE = {1: torch.float32, 6: torch.int32, 7: torch.int64, 9: torch.bool, 11: torch.float64}


def ints(x: torch.Tensor) -> list[int]:
    return [int(v) for v in x.reshape(-1).tolist()]


def attributes(node) -> dict[str, Any]:
    found = {}
    for a in node.attribute:
        value = onnx.helper.get_attribute_value(a)
        if a.type == onnx.AttributeProto.TENSOR:
            value = numpy_helper.to_array(value)
        elif isinstance(value, bytes):
            value = value.decode()
        found[a.name] = value
    return found


class Graph:
    def __init__(self, path: str, device: str):
        graph, self.device = onnx.load(path).graph, torch.device(device)
        raw = {i.name: np.array(numpy_helper.to_array(i)) for i in graph.initializer}
        steps = []
        self.known: dict[str, torch.Tensor] = {}
        for node in graph.node:
            inputs, at = list(node.input), attributes(node)
            if node.op_type in ("MatMulInteger", "ConvInteger"):
                name = f"{inputs[1]} as floats"
                self.known[name] = torch.tensor(raw[inputs[1]].astype(np.float32) - raw[inputs[3]].astype(np.float32), device=self.device)
                inputs = [inputs[0], name]
            elif node.op_type == "DynamicQuantizeLSTM":
                at["module"], inputs = self.recurrent(inputs, at["hidden_size"], raw), inputs[:1]
            steps.append((self.operator(node.op_type), inputs, list(node.output), at))
        used = {name for _, inputs, _, _ in steps for name in inputs}
        for name, value in raw.items():
            if name in used:
                # Sizes and the like stay on the processor.
                x = torch.tensor(value)
                self.known[name] = x.to(self.device) if x.is_floating_point() and x.numel() > 4 else x
        last = {name: k for k, (_, inputs, _, _) in enumerate(steps) for name in inputs}
        self.steps = [(*s, [n for n in set(s[1]) if last[n] == k and n not in self.known and n]) for k, s in enumerate(steps)]
        self.output = graph.output[0].name

    def operator(self, name: str):
        """Of its attributes and inputs"""
        if name in ALONE:
            return lambda at, x: ALONE[name](x)
        if name in PAIRS:
            return lambda at, *xs: PAIRS[name](*self.together(*xs))
        return getattr(self, name)

    def recurrent(self, inputs: list[str], hidden: int, raw: dict[str, np.ndarray]) -> torch.nn.LSTM:
        forth, back, bias, scales = inputs[1], inputs[2], raw[inputs[3]], inputs[8:]

        def floats(name, scale, zero):
            by = lambda x: np.asarray(raw[x], np.float32).reshape(2, 1, -1)
            return (raw[name].astype(np.float32) - by(zero)) * by(scale)

        # ONNX has input, output, forget, cell; PyTorch input, forget, cell, output.
        order = lambda x: np.concatenate([x[..., k * hidden : (k + 1) * hidden] for k in (0, 2, 3, 1)], -1)
        w, r = floats(forth, *scales[:2]), floats(back, *scales[2:])
        module = torch.nn.LSTM(w.shape[1], hidden, bidirectional=True)
        with torch.no_grad():
            for k, way in enumerate(("", "_reverse")):
                for part, value in (("weight_ih", order(w[k]).T), ("weight_hh", order(r[k]).T),
                                    ("bias_ih", order(bias[k][: 4 * hidden])), ("bias_hh", order(bias[k][4 * hidden :]))):  # fmt: skip
                    getattr(module, f"{part}_l0{way}").copy_(torch.tensor(np.ascontiguousarray(value)))
        return module.to(self.device).eval()

    @torch.inference_mode()
    def __call__(self, **given: torch.Tensor) -> torch.Tensor:
        """Its first output, of its inputs by name"""
        here: dict[str, torch.Tensor] = dict(given)
        for run, inputs, outputs, at, done in self.steps:
            got = run(at, *((self.known[n] if n in self.known else here[n]) if n else None for n in inputs))
            here.update(zip(outputs, got if isinstance(got, tuple) else (got,)))
            for name in done:
                del here[name]
        return here[self.output]

    def together(self, *all_: torch.Tensor) -> list[torch.Tensor]:
        """On the device, if any of them is; single numbers may stay."""
        if len({x.device for x in all_}) == 1:
            return list(all_)
        return [x.to(self.device) if x.dim() else x for x in all_]

    def Div(self, at, *xs):
        x, y = self.together(*xs)
        return x / y if x.is_floating_point() else torch.div(x, y, rounding_mode="trunc")

    def FusedMatMul(self, at, *xs):
        x, y = self.together(*xs)
        turned = lambda m, by: m.transpose(-1, -2) if at[by] else m
        return at["alpha"] * (turned(x, "transA") @ turned(y, "transB"))

    def Where(self, at, *xs):
        return torch.where(*(x.to(self.device) for x in xs)) if any(x.device != xs[0].device for x in xs) else torch.where(*xs)

    def Concat(self, at, *xs):
        return torch.cat([x.to(self.device) for x in xs] if any(x.device != xs[0].device for x in xs) else xs, at["axis"])

    def DynamicQuantizeLinear(self, at, x):
        return x.to(self.device), torch.tensor(1.0), torch.tensor(0)

    def DequantizeLinear(self, at, x, scale, zero):
        return (x.float() - zero.float()) * scale

    def MatMulInteger(self, at, x, w):
        return x @ w

    def Conv(self, at, x, w, bias=None):
        pads = at["pads"]
        assert pads[: len(pads) // 2] == pads[len(pads) // 2 :]
        return F.conv1d(x, w, bias, at["strides"], pads[: len(pads) // 2], at["dilations"], at["group"])

    ConvInteger = Conv

    def ConvTranspose(self, at, x, w, bias=None):
        return F.conv_transpose1d(x, w, bias, at["strides"], at["pads"][:1], at.get("output_padding", 0), at["group"], at["dilations"])

    def DynamicQuantizeLSTM(self, at, x):
        y, (h, c) = at["module"](x.to(self.device))
        return y.reshape(*y.shape[:2], 2, -1).permute(0, 2, 1, 3), h, c

    def Cast(self, at, x):
        return x.to(DTYPE[at["to"]])

    def Unsqueeze(self, at, x, axes):
        size = x.dim() + axes.numel()
        for k in sorted(k % size for k in ints(axes)):
            x = x.unsqueeze(k)
        return x

    def Squeeze(self, at, x, axes):
        for k in sorted((k % x.dim() for k in ints(axes)), reverse=True):
            x = x.squeeze(k)
        return x

    def Reshape(self, at, x, shape):
        return x.reshape([x.shape[k] if v == 0 and not at.get("allowzero") else v for k, v in enumerate(ints(shape))])

    def Gather(self, at, x, which):
        axis = at.get("axis", 0) % x.dim()
        which = which.to(x.device)
        which = torch.where(which < 0, which + x.shape[axis], which)
        return x.index_select(axis, which.reshape(-1)).reshape([*x.shape[:axis], *which.shape, *x.shape[axis + 1 :]])

    def ReduceMean(self, at, x, axes):
        return x.mean(ints(axes), keepdim=bool(at.get("keepdims", 1)))

    def ReduceSum(self, at, x, axes):
        return x.sum(ints(axes), keepdim=bool(at.get("keepdims", 1)))

    def Pow(self, at, x, y):
        return x ** float(y)

    def Atan(self, at, x):
        # Of nothing over nothing it is nothing.
        return x.nan_to_num(0.0, float("inf"), float("-inf")).atan()

    def Softmax(self, at, x):
        return x.softmax(at["axis"])

    def LeakyRelu(self, at, x):
        return F.leaky_relu(x, at.get("alpha", 0.01))

    def FastGelu(self, at, x, bias=None):
        return F.gelu(x if bias is None else x + bias, approximate="tanh")

    def LayerNormalization(self, at, x, scale, bias=None):
        return F.layer_norm(x.to(self.device), x.shape[-1:], scale, bias, at["epsilon"])

    def SkipLayerNormalization(self, at, x, y, scale, bias=None):
        return F.layer_norm(x + y, x.shape[-1:], scale, bias, at["epsilon"])

    def Clip(self, at, x, least=None, most=None):
        return x.clamp(None if least is None else float(least), None if most is None else float(most))

    def Transpose(self, at, x):
        return x.permute(list(at["perm"]))

    def Split(self, at, x, sizes=None):
        return tuple(x.chunk(2, at.get("axis", 0)) if sizes is None else x.split(ints(sizes), at.get("axis", 0)))

    def Shape(self, at, x):
        return torch.tensor(list(x.shape))

    def Slice(self, at, x, starts, ends, axes=None, strides=None):
        n = starts.numel()
        axes, strides = ints(axes) if axes is not None else range(n), ints(strides) if strides is not None else [1] * n
        where = [slice(None)] * x.dim()
        for axis, start, end, stride in zip(axes, ints(starts), ints(ends), strides):
            where[axis] = slice(start, end, stride)
        return x[tuple(where)]

    def Expand(self, at, x, shape):
        return x.expand(torch.broadcast_shapes(x.shape, ints(shape)))

    def ConstantOfShape(self, at, shape):
        value = torch.tensor(at["value"]).reshape(()) if "value" in at else torch.tensor(0.0)
        x = torch.full(ints(shape), value.item(), dtype=value.dtype)
        return x.to(self.device) if x.is_floating_point() else x

    def Resize(self, at, x, _region=None, scales=None):
        by = [float(v) for v in scales.reshape(-1).tolist()][2:]
        if at["mode"] == "nearest":
            return F.interpolate(x, scale_factor=by, mode="nearest")
        return F.interpolate(x, scale_factor=by, mode="linear", align_corners=False, recompute_scale_factor=False)

    def CumSum(self, at, x, axis):
        return x.cumsum(int(axis))

    def Range(self, at, start, end, step):
        return torch.arange(start.item(), end.item(), step.item())

    def Pad(self, at, x, pads, *_):
        n, pads = x.dim(), ints(pads)
        sides = [v for k in range(n - 1, -1, -1) for v in (pads[k], pads[n + k])]
        while len(sides) > 2 and sides[-2:] == [0, 0]:
            sides = sides[:-2]
        return F.pad(x, sides, mode=at.get("mode", "constant"))

    def STFT(self, at, x, step, window, size):
        x = x[..., 0] if x.dim() == 3 else x
        spectrum = torch.stft(x, int(size), int(step), int(size), window.to(self.device), center=False, onesided=True, return_complex=True)
        return torch.view_as_real(spectrum).transpose(1, 2)

    def NonZero(self, at, x):
        return x.nonzero().T

    def ScatterND(self, at, x, where, values):
        x = x.clone()
        x[tuple(where.to(x.device).unbind(-1))] = values
        return x
