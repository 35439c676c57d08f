"""A list is answered in parts: `limit` and `cursor`, and a Link to the next part (RFC 8288)."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, TypeVar
from urllib.parse import urlencode

from fastapi import Depends, Query, Request, Response

from service.queries.part import Part

T = TypeVar("T")
MOST = 500
WRITTEN = r"^[\w=-]*$"
CURSOR = "where the list goes on, from the Link of the part before"


@dataclass(frozen=True)
class Page:
    """The part of a list that was asked for, and its answer."""

    part: Part
    request: Request
    response: Response

    def told(self, rows: T) -> T:
        """The same rows; the answer says where the list goes on."""
        if self.part.more:
            asked = [one for one in self.request.query_params.multi_items() if one[0] != "cursor"]
            query = urlencode([*asked, ("cursor", self.part.more)])
            self.response.headers["Link"] = f'<?{query}>; rel="next"'
        return rows


def paged(usual: int, most: int = MOST) -> Callable[..., Page]:
    """The dependency of a list that is answered in parts of a usual length."""

    def page(
        request: Request,
        response: Response,
        limit: Annotated[int, Query(ge=1, le=most, description="of rows in this answer")] = usual,
        cursor: Annotated[str, Query(max_length=1500, pattern=WRITTEN, description=CURSOR)] = "",
    ) -> Page:
        return Page(Part(limit, cursor), request, response)

    return page


PageDep = Annotated[Page, Depends(paged(MOST))]
PageOf100 = Annotated[Page, Depends(paged(100))]
