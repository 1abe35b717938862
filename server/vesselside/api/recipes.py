"""`/api/recipes`: recipes in versions and the brew sheet of each. Only a manager changes one."""

from typing import Any

from marshmallow import INCLUDE, Schema, fields, validate

from vesselside.core.brew import brewsheet
from vesselside.core.run.events import is_id
from vesselside.store import book
from vesselside.store.site import people, recipes, siting
from vesselside.store.site.devices import Credential

from .bodies import Blueprint
from .credentials import by_device, by_manager
from .documents import Lenient, answers
from .errors import ProblemError
from .shaped import many

blueprint = Blueprint("recipes", __name__, url_prefix="/api/recipes", description="Recipes and brew sheets")


class Recipes(Lenient):
    """The newest version of every recipe."""

    recipes = many("Recipe")


class Versions(Lenient):
    """Every version of one recipe, newest first."""

    versions = many("Recipe")


class RecipeDraft(Schema):
    """A recipe; the core judges it field by field, and `errors` of the problem names the fields."""

    class Meta:
        unknown = INCLUDE
        description = "A `Recipe`; open on purpose: whatever is wrong with it is answered at its field"


class Kept(Lenient):
    """What was kept."""

    id = fields.String(required=True)
    version = fields.Integer(required=True)
    sha256 = fields.String(required=True)


class SheetQuery(Lenient):
    """Which version; the newest when left out."""

    version = fields.Integer(validate=validate.Range(1))


class BrewSheet(Lenient):
    """A brew sheet."""

    recipe = fields.String(required=True)
    version = fields.Integer(required=True)
    name = fields.String(required=True)
    brews = fields.String(required=True)
    stages = fields.List(fields.List(fields.String()), required=True)
    lines = many("SheetLine")
    additions = many("Addition")
    faults = many("FieldFault")


@blueprint.route("", methods=["GET"])
@answers(blueprint, 401)
@by_device
@blueprint.response(200, Recipes)
def list_recipes(credential: Credential) -> dict[str, Any]:
    """The newest version of every recipe"""
    return {"recipes": recipes.newest(credential.brewery)}


@blueprint.route("", methods=["POST"])
@answers(blueprint, 400, 401, 403, 413, 422)
@by_manager
@blueprint.arguments(RecipeDraft)
@blueprint.response(201, Kept)
def change_recipe(credential: Credential, session: people.Session, sent: dict[str, Any]) -> dict[str, Any]:
    """Keep a recipe's first version, or the one after its newest"""
    return recipes.change_recipe(book(credential.brewery), sent, by=session.person)


@blueprint.route("/<recipe>", methods=["GET"])
@answers(blueprint, 401, 404)
@by_device
@blueprint.response(200, Versions)
def get_recipe(credential: Credential, recipe: str) -> dict[str, Any]:
    """Every version of a recipe, newest first"""
    return {"versions": _versions(credential, recipe)}


@blueprint.route("/<recipe>/sheet", methods=["GET"])
@answers(blueprint, 401, 404, 422)
@by_device
@blueprint.arguments(SheetQuery, location="query")
@blueprint.response(200, BrewSheet)
def get_sheet(credential: Credential, query: dict[str, Any], recipe: str) -> Any:
    """The brew sheet of a recipe by the site's figures of today"""
    versions = _versions(credential, recipe)
    wanted = query.get("version", versions[0]["version"])
    held = next((row for row in versions if row["version"] == wanted), None)
    if held is None:
        raise ProblemError(404, "not-found", "This recipe has no such version.")
    return brewsheet.brew_sheet(held, siting.settings_of(credential.brewery))


def _versions(credential: Credential, recipe: str) -> list[dict[str, Any]]:
    versions = recipes.versions(credential.brewery, recipe) if is_id(recipe) else []
    if not versions:
        raise ProblemError(404, "not-found", "No recipe of that id is held here.")
    return versions
