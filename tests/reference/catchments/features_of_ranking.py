"""Which rules of screens, ranks and funding occur and matter: the model page, sections 8 to 10."""

from __future__ import annotations

from ..funding import sites_of
from ..scoring import Scored
from ..screens import feasible_options, is_tie


def quote(scored: Scored) -> bool:
    """A quote sets the capital of an option that can stand at its site."""
    offtakes = scored.river.catchment.offtakes.values()
    return any(
        o.quote is not None
        and o.quote_option in [f.option_id for f in feasible_options(o, scored.river)]
        for o in offtakes
    )


def criterion(scored: Scored) -> bool:
    """A further criterion tells offtakes apart."""
    further = [tuple(criteria[3:]) for criteria in scored.criteria.values()]
    return len(set(further)) > 1


def rank_tie(scored: Scored, with_loss: bool = False) -> bool:
    """Two neighbours in the order have one score and one loss, so that the id decides."""
    for a, b in zip(scored.order, scored.order[1:], strict=False):
        losses = scored.loss_adults[a], scored.loss_adults[b]
        if (
            scored.score[a] == scored.score[b]
            and is_tie(*losses)
            and (losses[0] > 0 or not with_loss)
        ):
            return True
    return False


def options_differ(scored: Scored) -> bool:
    """Sites have different best options."""
    return len({option.option_id for option in scored.best.values() if option is not None}) > 1


def rank_tie_with_loss(scored: Scored) -> bool:
    """The same, between offtakes that cost the river something."""
    return rank_tie(scored, with_loss=True)


def no_best_option(scored: Scored) -> bool:
    """No screen serves at a site."""
    return any(option is None for option in scored.best.values())


def committed(scored: Scored) -> bool:
    """An accepted site is committed."""
    return bool(sites_of(scored).committed)


def commitment_left_out(scored: Scored) -> bool:
    """An accepted site cannot be had."""
    return bool(sites_of(scored).left_out)
