"""Which pages the guide has."""

from __future__ import annotations

from slackwater.api.answers.shape import Answer, like


class GuidePage(Answer):
    """One page of the guide."""

    page: str
    title: str
    address: str


class GuidePages(Answer):
    """The guide's pages in the order they are read."""

    model_config = like(
        {"pages": [{"page": "methods", "title": "Methods", "address": "/guide/methods"}]}
    )

    pages: list[GuidePage]
