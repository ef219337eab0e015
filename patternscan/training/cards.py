"""The graphics cards that train a net: one, several joined by torchrun, or none."""

from __future__ import annotations

import os

import torch
from torch import distributed, nn


def own_card() -> str:
    """The card that this process works on, all of them joined; the processor where there is none."""
    if not torch.cuda.is_available():
        if int(os.environ.get("WORLD_SIZE", 1)) > 1:
            raise SystemExit("Several processes need a graphics card each, and none was found. Start the script alone.")
        return "cpu"
    if "LOCAL_RANK" in os.environ:
        torch.cuda.set_device(int(os.environ["LOCAL_RANK"]))
        distributed.init_process_group("nccl")
    torch.backends.cudnn.benchmark = True
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    return "cuda"


def first_card() -> bool:
    """Whether this card is to speak and to write."""
    return rank() == 0


def share_gradients(net: nn.Module) -> None:
    """Every card goes down the mean of all cards' gradients."""
    if distributed.is_initialized():
        gradients = [weight.grad for weight in net.parameters() if weight.grad is not None]
        together = torch.cat([gradient.flatten() for gradient in gradients])
        distributed.all_reduce(together)
        parts = (together / distributed.get_world_size()).split([gradient.numel() for gradient in gradients])
        for gradient, part in zip(gradients, parts, strict=True):
            gradient.copy_(part.view_as(gradient))


def all_agree(clock: float) -> float:
    """The first card's clock, so that all stop at the same step."""
    if not distributed.is_initialized():
        return clock
    told_time = torch.tensor(clock, dtype=torch.float64, device="cuda")
    distributed.broadcast(told_time, 0)
    return float(told_time)


def rank() -> int:
    """Number of this card among those joined, from 0."""
    return distributed.get_rank() if distributed.is_initialized() else 0


def cards() -> int:
    """How many cards are joined."""
    return distributed.get_world_size() if distributed.is_initialized() else 1


def wait_for_all() -> None:
    """Go on when every card has come here."""
    if distributed.is_initialized():
        distributed.barrier()


def leave() -> None:
    """Part from the other cards."""
    if distributed.is_initialized():
        distributed.destroy_process_group()
